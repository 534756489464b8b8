import type { Food, Heat, Shape } from '../contract/food.ts';
import type { Course } from './course.ts';
import type { Guess } from './drive.ts';
import { PRIOR, biotNumber, kappaPerS } from './properties.ts';

export type Body = { food: Food; shape: Shape; thicknessMm: number };

type Belief = { mean: number; sd: number };

/** What is believed before any reading. A guess is drawn from it by a row of standard scores. */
export type Prior = {
  size: number;
  /** How far the fire may wander, as a logarithm, per square root of a Fourier number. */
  wanderLogSd: number;
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
export const WANDER_PARTS = 4;

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

/** A plan of turns of which none is recorded after so many of its intervals: they are made, but not told. Assumption. */
const UNTOLD_AFTER = 2.5;

/** Whether the two sides of the piece can be told apart: a slab whose turns are known. */
function hasSides({ body, course, untilS }: PriorQuestion): boolean {
  const { turnPlan, turnsS } = course;
  const isUntold =
    turnPlan.kind === 'every' && turnsS.length === 0 && untilS > UNTOLD_AFTER * turnPlan.seconds;
  return body.shape === 'slab' && !isUntold;
}

function beliefsOf(q: PriorQuestion): Record<'kappa' | 'biot' | 'start' | 'share' | 'steam', Belief> {
  const { body, start } = q;
  const isBlind = q.zone === null && !q.isZoneMeasured;
  const shareSd = Math.hypot(PRIOR.shareLogSd, isBlind ? PRIOR.unknownZoneLogSd : 0);
  return {
    kappa: { mean: Math.log(kappaPerS(body.food, body.thicknessMm)), sd: PRIOR.kappaLogSd },
    biot: { mean: Math.log(biotNumber(q.zone, body.thicknessMm)), sd: PRIOR.biotLogSd },
    start: { mean: start.tempC, sd: start.sdC },
    share: { mean: Math.log(PRIOR.shareMedian), sd: shareSd },
    steam: { mean: Math.log(PRIOR.steamMedian), sd: PRIOR.steamLogSd },
  };
}

/** Independent normal beliefs, logarithmic where a quantity is a factor. Only what this cook has is drawn. */
export function priorOf(q: PriorQuestion): Prior {
  const { course, body } = q;
  const { kappa, biot, start, share, steam } = beliefsOf(q);
  const zones = laterZones(course);
  const isSided = hasSides(q);
  const wanderLogSd = PRIOR.wanderLogSd[body.shape];
  const partSd = wanderLogSd * Math.sqrt((kappaPerS(body.food, body.thicknessMm) * q.untilS) / WANDER_PARTS);
  const wanderParts = partSd > 0 ? WANDER_PARTS : 0;
  const hasLid = course.openings.length > 0;
  return {
    wanderLogSd,
    size: 6 + (isSided ? 1 : 0) + wanderParts + zones.length + (hasLid ? 1 : 0),
    guessAt: (scores) => {
      let used = 0;
      const next = (): number => scores[used++] ?? 0;
      return {
        kappaPerS: Math.exp(value(kappa, next())),
        biot: clamp(Math.exp(value(biot, next())), 0.02, 200),
        startC: value(start, next()),
        share: Math.exp(value(share, next())),
        steam: Math.exp(value(steam, next())),
        tip: PRIOR.tipSd * next(),
        lean: isSided ? clamp(PRIOR.leanMean + PRIOR.leanSd * next(), 0, 1.4) : 0,
        wander: Array.from({ length: wanderParts }, () => partSd * next()),
        shifts: shiftsOf(course, zones, zones.map(next)),
        lidDip: hasLid ? clamp(PRIOR.lidDipMean + PRIOR.lidDipSd * next(), 0, 0.85) : 0,
      };
    },
  };
}

function shiftsOf(course: Course, zones: readonly (Heat | null)[], scores: readonly number[]): number[] {
  return course.stays.map(({ zone }) => {
    const index = zones.indexOf(zone);
    return index < 0 ? 0 : PRIOR.moveLogSd * (scores[index] ?? 0);
  });
}
