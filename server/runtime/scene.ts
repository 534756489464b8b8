import type { Alarm } from '../contract/board.ts';
import type { Batch, Dish, Place } from '../contract/cookout.ts';
import type { Reading } from '../contract/reading.ts';
import type { SpotCheck, Step } from '../contract/steps.ts';
import { batchStory, type BatchStory } from '../plan/batch-story.ts';
import type { CookoutState } from '../ports.ts';
import { readingsOf } from './tracks.ts';

/** One batch with everything that belongs to it, as of one moment. */
export type BatchScene = {
  batch: Batch;
  dish: Dish;
  story: BatchStory;
  steps: Step[];
  spotChecks: SpotCheck[];
  /** When its probe's readings are its own; null while it has not begun. */
  span: { fromMs: number; toMs: number } | null;
  /** Core readings from just before it went on until it was served or its probe went into the next batch. */
  readings: Reading[];
  /** Where it lies or is meant to lie. */
  place: Place | null;
  serveAtMs: number | null;
  rowId: string;
};

export type Scene = {
  state: CookoutState;
  nowMs: number;
  /** Nothing before this is looked at. */
  fromMs: number;
  batches: BatchScene[];
  trackOf: (sensorId: string) => readonly Reading[];
  /** Since when a channel has said that nothing is plugged in; null = as far as is known something is. */
  unpluggedSinceMs: (sensorId: string) => number | null;
};

/** A core probe is often in the food before somebody presses "Put on". */
const BEFORE_ON_MS = 2 * 60_000;

export function batchRowId(batchId: string): string {
  return `batch-${batchId}`;
}
export function placeRowId(placeId: string): string {
  return `place-${placeId}`;
}

export function setScene(
  state: CookoutState,
  { nowMs, fromMs }: { nowMs: number; fromMs: number },
  heard: Pick<Scene, 'trackOf' | 'unpluggedSinceMs'>,
): Scene {
  const stepsOf = new Map<string, Step[]>();
  for (const step of state.steps) stepsOf.set(step.batchId, [...(stepsOf.get(step.batchId) ?? []), step]);
  const batches = state.batches.flatMap((batch) => {
    const dish = state.dishes.find((d) => d.id === batch.dishId);
    if (!dish) return [];
    const steps = stepsOf.get(batch.id) ?? [];
    const story = batchStory(steps);
    const placeId = story.placeId ?? batch.placeId;
    return [
      {
        batch,
        dish,
        steps,
        story,
        spotChecks: state.spotChecks.filter((check) => check.batchId === batch.id),
        span: null as BatchScene['span'],
        readings: [] as Reading[],
        place: state.places.find((p) => p.id === placeId) ?? null,
        serveAtMs: state.cookout.serves.find((s) => s.id === batch.serveId)?.atMs ?? null,
        rowId: batchRowId(batch.id),
      },
    ];
  });
  for (const scene of batches) {
    scene.span = coreSpan(scene, batches, nowMs);
    scene.readings = coreReadings(scene, state, heard.trackOf);
  }
  return { state, nowMs, fromMs, batches, ...heard };
}

export function discardedMs(steps: readonly Step[]): number | null {
  return steps.find((s) => s.step === 'discarded')?.atMs ?? null;
}

/**
 * When a batch begins and ends to own what its probe reads; null while it has not begun. A probe that goes from one
 * batch into the next belongs to the first until it was taken off, to the second from two minutes before it went on.
 */
function coreSpan(
  scene: BatchScene,
  all: readonly BatchScene[],
  nowMs: number,
): { fromMs: number; toMs: number } | null {
  const beginMs = begunMs(scene);
  if (beginMs === null) return null;
  const sharing = all.filter(
    (o) => o !== scene && scene.batch.sensorId !== null && o.batch.sensorId === scene.batch.sensorId,
  );
  const next = sharing.filter((o) => (begunMs(o) ?? -Infinity) > beginMs).sort(byBegin)[0];
  const before = sharing
    .filter((o) => (begunMs(o) ?? Infinity) < beginMs)
    .sort(byBegin)
    .at(-1);
  const endMs = scene.story.servedMs ?? discardedMs(scene.steps) ?? Infinity;
  return {
    fromMs: before ? handOverMs(before, beginMs) : beginMs - BEFORE_ON_MS,
    toMs: Math.min(endMs, next ? handOverMs(scene, begunMs(next) ?? Infinity) : Infinity, nowMs),
  };
}

function begunMs({ story }: BatchScene): number | null {
  return story.firstOnMs ?? story.reheatingMs;
}
function byBegin(a: BatchScene, b: BatchScene): number {
  return (begunMs(a) ?? 0) - (begunMs(b) ?? 0);
}
/** The moment within the two minutes before the next one went on at which the earlier one was off. */
function handOverMs(earlier: BatchScene, nextOnMs: number): number {
  const offMs = earlier.story.offMs ?? nextOnMs;
  return Math.min(nextOnMs, Math.max(offMs, nextOnMs - BEFORE_ON_MS));
}

function coreReadings(
  { batch, span }: BatchScene,
  state: CookoutState,
  trackOf: Scene['trackOf'],
): Reading[] {
  if (!span) return [];
  const parts = readingsOf({ kind: 'batch', id: batch.id }, span, state.seats, trackOf);
  return parts.flatMap((p) => p.readings).sort((x, y) => x.atMs - y.atMs);
}

/** What a row tells of the newest reading that it shows. */
export function tempFields(newest: Reading | null): { tempC: number | null; suspect: boolean } {
  return newest === null
    ? { tempC: null, suspect: false }
    : { tempC: newest.tempC, suspect: newest.quality === 3 };
}

/** What a row tells of its alarm. */
export function alarmFields(alarm: Alarm | null): { seenMs: number | null; alarmId: string | null } {
  return alarm === null ? { seenMs: null, alarmId: null } : { seenMs: alarm.seenMs, alarmId: alarm.id };
}

/** The open alarm that a row shows: the worst one, alarms being in that order already. */
export function alarmOfRow(alarms: readonly Alarm[], rowId: string): Alarm | null {
  return alarms.find((alarm) => alarm.rowId === rowId) ?? null;
}
