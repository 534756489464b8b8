import type { Food, Heat, Shape } from '../contract/food.ts';
import type { Course } from './course.ts';
import type { Guess } from './drive.ts';
import { PRIOR, biotNumber, kappaPerS } from './properties.ts';

export type Body = { food: Food; shape: Shape; thicknessMm: number };

type Belief = { mean: number; sd: number };

/** What is believed before any reading. A guess is drawn from it by a row of standard scores. */
export type Prior = {
  size: number;
  guessAt(scores: readonly number[]): Guess;
};

export type PriorQuestion = {
  body: Body;
  course: Course;
  zone: Heat | null;
  isZoneMeasured: boolean;
  start: { tempC: number; sdC: number };
  /** How long the fire had time to wander, s. */
  untilS: number;
};

/** Parts of the time so far over which the fire may have wandered. */
export const WANDER_PARTS = 3;

function value(belief: Belief, score: number): number {
  return belief.mean + belief.sd * score;
}

function clamp(x: number, low: number, high: number): number {
  return Math.min(Math.max(x, low), high);
}

/** Zones after the first one, each once: every one of them may be off by its own factor. */
function laterZones(course: Course): (Heat | null)[] {
  const first = course.stays[0]?.zone;
  return [...new Set(course.stays.map(({ zone }) => zone))].filter((zone) => zone !== first);
}

function beliefsOf(q: PriorQuestion): Record<'kappa' | 'biot' | 'start' | 'share' | 'wetness', Belief> {
  const { body, start } = q;
  const isBlind = q.zone === null && !q.isZoneMeasured;
  const shareSd = Math.hypot(PRIOR.shareLogSd, isBlind ? PRIOR.unknownZoneLogSd : 0);
  return {
    kappa: { mean: Math.log(kappaPerS(body.food, body.thicknessMm)), sd: PRIOR.kappaLogSd },
    biot: { mean: Math.log(biotNumber(q.zone, body.thicknessMm)), sd: PRIOR.biotLogSd },
    start: { mean: start.tempC, sd: start.sdC },
    share: { mean: Math.log(PRIOR.shareMedian), sd: shareSd },
    wetness: { mean: Math.log(PRIOR.wetnessMedian), sd: PRIOR.wetnessLogSd },
  };
}

/** Independent normal beliefs, logarithmic where a quantity is a factor. Only what this cook has is drawn. */
export function priorOf(q: PriorQuestion): Prior {
  const { course, body } = q;
  const { kappa, biot, start, share, wetness } = beliefsOf(q);
  const zones = laterZones(course);
  const isSlab = body.shape === 'slab';
  const wanderSd =
    wanderOf(body.shape) * Math.sqrt((kappaPerS(body.food, body.thicknessMm) * q.untilS) / WANDER_PARTS);
  const wanderParts = wanderSd > 0 ? WANDER_PARTS : 0;
  const hasLid = course.openings.length > 0;
  return {
    size: 6 + (isSlab ? 1 : 0) + wanderParts + zones.length + (hasLid ? 1 : 0),
    guessAt: (scores) => {
      let used = 0;
      const next = (): number => scores[used++] ?? 0;
      return {
        kappaPerS: Math.exp(value(kappa, next())),
        biot: clamp(Math.exp(value(biot, next())), 0.02, 200),
        startC: value(start, next()),
        share: Math.exp(value(share, next())),
        wetness: Math.exp(value(wetness, next())),
        tip: PRIOR.tipSd * next(),
        lean: isSlab ? clamp(PRIOR.leanMean + PRIOR.leanSd * next(), 0, 1.4) : 0,
        wander: Array.from({ length: wanderParts }, () => wanderSd * next()),
        shifts: shiftsOf(course, zones, zones.map(next)),
        lidDip: hasLid ? clamp(PRIOR.lidDipMean + PRIOR.lidDipSd * next(), 0, 0.85) : 0,
      };
    },
  };
}

declare const process: any;
export function wanderOf(shape: string): number { return PRIOR.wanderLogSd * (shape === 'slab' ? 1 : Number(process.env['RW'] ?? 1.41)); }
function shiftsOf(course: Course, zones: readonly (Heat | null)[], scores: readonly number[]): number[] {
  return course.stays.map(({ zone }) => {
    const index = zones.indexOf(zone);
    return index < 0 ? 0 : PRIOR.moveLogSd * (scores[index] ?? 0);
  });
}
