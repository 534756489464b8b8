import type { Heat } from '../contract/food.ts';
import { statusAfter, type BatchStatus, type Step } from '../contract/steps.ts';

/** What the steps of one batch add up to. Times in epoch ms; null = has not happened. */
export type BatchStory = {
  status: BatchStatus;
  /** When it first went on: from here its core counts. */
  firstOnMs: number | null;
  /** When it last went on. */
  onMs: number | null;
  /** When it was taken off; null again once it is back on or being reheated. */
  offMs: number | null;
  servedMs: number | null;
  heldMs: number | null;
  reheatingMs: number | null;
  /** Turns since it last went on. */
  lastTurnMs: number | null;
  turns: number;
  /** The part of the fire it is on now; null when it is not on the fire, or nobody said where. */
  zone: Heat | null;
  placeId: string | null;
  lidOpen: boolean;
};

const NOTHING_YET: BatchStory = {
  status: 'planned',
  firstOnMs: null,
  onMs: null,
  offMs: null,
  servedMs: null,
  heldMs: null,
  reheatingMs: null,
  lastTurnMs: null,
  turns: 0,
  zone: null,
  placeId: null,
  lidOpen: false,
};

/**
 * The story of one batch so far. A step that cannot follow the one before is passed over, as in `statusOf`.
 *
 * @param steps - of one batch, ascending in time
 */
export function batchStory(steps: readonly Step[]): BatchStory {
  return steps.reduce((story, step) => {
    const status = statusAfter(story.status, step.step);
    return status === null ? story : { ...story, ...whereNow(story, step), ...happened(story, step), status };
  }, NOTHING_YET);
}

function whereNow(story: BatchStory, step: Step): Pick<BatchStory, 'zone' | 'placeId'> {
  return { zone: step.zone ?? story.zone, placeId: step.placeId ?? story.placeId };
}

function happened(story: BatchStory, { step, atMs, zone }: Step): Partial<BatchStory> {
  const offFire = { zone: null, lidOpen: false };
  switch (step) {
    case 'on':
      return {
        firstOnMs: story.firstOnMs ?? atMs,
        onMs: atMs,
        offMs: null,
        lastTurnMs: null,
        turns: 0,
        zone,
        lidOpen: false,
      };
    case 'turned':
      return { lastTurnMs: atMs, turns: story.turns + 1 };
    case 'lid-opened':
      return { lidOpen: true };
    case 'lid-closed':
      return { lidOpen: false };
    case 'off':
      return { ...offFire, offMs: atMs };
    case 'held':
      return { ...offFire, heldMs: atMs };
    case 'served':
      return { ...offFire, servedMs: atMs };
    case 'reheating':
      return { reheatingMs: atMs, offMs: null, zone, lidOpen: false };
    case 'packed':
    case 'cooling':
    case 'chilled':
    case 'discarded':
      return offFire;
    case 'moved':
      return {};
  }
}
