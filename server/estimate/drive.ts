import type { TurnPlan } from '../contract/food.ts';
import type { Course } from './course.ts';
import { lidCornersS, lidOpenness } from './lid.ts';

/**
 * The drive is the ambient that the core seems to follow. It is a share of the zone's nominal excess over the start,
 * less what an open lid takes away, less what the unlike faces of a piece on a fire take away:
 *
 * With face coefficients h0 and h1 the heat that the even part of the profile (the only part a centre feels) gets is
 * less by (h0 - h1) times the odd part. The odd part builds up with the first odd mode and changes sign at a turn.
 * `lean` is that odd part as the fire sees it: 0 at the start, towards 1 while the piece lies, negated by a turn.
 */
export type Guess = {
  kappaPerS: number;
  biot: number;
  startC: number;
  /** Effective over nominal excess of the first zone. */
  share: number;
  /** Logarithm of what each stay's share is off by; 0 for the first zone. */
  shifts: readonly number[];
  turnDip: number;
  lidDip: number;
  /**
   * How much of the odd part the probe's tip shows because it is not in the middle, as a share of the excess; above 0
   * when it sits on the side that lay on the fire first. A turn changes its sign.
   */
  tipLean: number;
};

/** First odd mode of a slab, z cot z = -Bi, at Bi 1: z = 2.03; the rate is z^2 kappa. Computed. */
const ODD_MODE_SQUARED = 4.1;
/** Earlier turns than the newest ones have no trace left in the lean. */
const TURNS_KEPT = 40;

export function leanTimeS(kappaPerS: number): number {
  return 1 / (ODD_MODE_SQUARED * kappaPerS);
}

/** Where the lean settles when the plan is kept: the mean over a cycle of turns `seconds` apart. */
export function restLean(plan: TurnPlan, kappaPerS: number): number {
  if (plan.kind !== 'every') return 1;
  const x = plan.seconds / (2 * leanTimeS(kappaPerS));
  return 1 - Math.tanh(x) / x;
}

/** The course laid over a row of times, the same for every guess. Index k describes timesS[k]. */
export type Frame = {
  timesS: Float64Array;
  stayBefore: Int32Array;
  stayAfter: Int32Array;
  isTurn: Uint8Array;
  openness: Float64Array;
};

/** @param atS the times at which the core's temperature is wanted, s since on; those before 0 are left out */
export function frameOf(course: Course, atS: readonly number[]): Frame {
  const endS = Math.max(0, ...atS);
  const turns = new Set(course.turnsS.slice(-TURNS_KEPT));
  const wanted = [
    0,
    ...atS,
    ...turns,
    ...course.stays.map(({ fromS }) => fromS),
    ...lidCornersS(course.openings),
  ];
  const timesS = Float64Array.from(new Set(wanted.filter((t) => t >= 0 && t <= endS))).sort();
  const stayAt = (t: number, isAfter: boolean): number => {
    const index = course.stays.findLastIndex(({ fromS }) => (isAfter ? fromS <= t : fromS < t));
    return Math.max(index, 0);
  };
  return {
    timesS,
    stayBefore: Int32Array.from(timesS, (t) => stayAt(t, false)),
    stayAfter: Int32Array.from(timesS, (t) => stayAt(t, true)),
    isTurn: Uint8Array.from(timesS, (t) => (turns.has(t) ? 1 : 0)),
    openness: Float64Array.from(timesS, (t) => lidOpenness(course.openings, t)),
  };
}

/** Effective excess of one stay with closed lid and no lean, degC above the start. */
export function fullExcessC(course: Course, guess: Guess, stay: number): number {
  return guess.share * Math.exp(guess.shifts[stay] ?? 0) * (course.stays[stay]?.excessC ?? 0);
}
