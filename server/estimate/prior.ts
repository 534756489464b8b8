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
};

/** Beliefs that every cook has; the later zones follow. */
const SHARED = 7;

function value(belief: Belief, score: number | undefined): number {
  return belief.mean + belief.sd * (score ?? 0);
}

function clamp(x: number, low: number, high: number): number {
  return Math.min(Math.max(x, low), high);
}

/** Zones after the first one, each once: every one of them may be off by its own factor. */
function laterZones(course: Course): (Heat | null)[] {
  const first = course.stays[0]?.zone;
  return [...new Set(course.stays.map(({ zone }) => zone))].filter((zone) => zone !== first);
}

/** Independent normal beliefs, logarithmic where a quantity is a factor. */
export function priorOf(q: PriorQuestion): Prior {
  const { course, body } = q;
  const isBlind = q.zone === null && !q.isZoneMeasured;
  const shareSd = Math.hypot(PRIOR.shareLogSd, isBlind ? PRIOR.unknownZoneLogSd : 0);
  const kappa: Belief = { mean: Math.log(kappaPerS(body.food, body.thicknessMm)), sd: PRIOR.kappaLogSd };
  const biot: Belief = { mean: Math.log(biotNumber(q.zone, body.thicknessMm)), sd: PRIOR.biotLogSd };
  const start: Belief = { mean: q.start.tempC, sd: q.start.sdC };
  const share: Belief = { mean: Math.log(PRIOR.shareMedian), sd: shareSd };
  const turnDip: Belief = { mean: PRIOR.turnDipMean, sd: PRIOR.turnDipSd };
  const lidDip: Belief = { mean: PRIOR.lidDipMean, sd: PRIOR.lidDipSd };
  const zones = laterZones(course);
  return {
    size: SHARED + zones.length,
    guessAt: (scores) => ({
      kappaPerS: Math.exp(value(kappa, scores[0])),
      biot: clamp(Math.exp(value(biot, scores[1])), 0.02, 200),
      startC: value(start, scores[2]),
      share: Math.exp(value(share, scores[3])),
      turnDip: clamp(value(turnDip, scores[4]), 0, 0.6),
      lidDip: clamp(value(lidDip, scores[5]), 0, 0.85),
      tipLean: PRIOR.tipLeanSd * (scores[6] ?? 0),
      shifts: course.stays.map(({ zone }) => {
        const index = zones.indexOf(zone);
        return index < 0 ? 0 : PRIOR.moveLogSd * (scores[SHARED + index] ?? 0);
      }),
    }),
  };
}
