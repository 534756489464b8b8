import type { Course } from './course.ts';
import { lidCornersS, lidOpenness } from './lid.ts';
import type { Side } from './profile.ts';

/**
 * What a piece of food and its fire may be like. The mean excess of both sides over the start is a share of the zone's
 * nominal one. The sides are unlike by `lean`, and change places at a turn. The fire and the faces (fading, fresh
 * coals, drying, a crust) wander: the logarithm of the excess is a random walk, drawn by its changes.
 */
export type Guess = {
  kappaPerS: number;
  /** Mean of both sides. */
  biot: number;
  startC: number;
  /** Excess that the food feels over the nominal one, in the first zone, at the start. */
  share: number;
  /** Logarithm of what each stay's share is off by; 0 for the first zone. */
  shifts: readonly number[];
  /** Changes of the logarithm of the excess over even parts of the time so far. */
  wander: readonly number[];
  /** The most that steam can take, as a share of the excess. */
  steam: number;
  /** 0 = both sides alike, 1 = the upper one has no excess. Only a slab feels it. */
  lean: number;
  lidDip: number;
  /** Where the tip sits, in half thicknesses from the middle; above 0 = towards what lay on the fire first. */
  tip: number;
};

/** Earlier turns than the newest ones have left no trace. */
const TURNS_KEPT = 40;
/**
 * The side of more heat has also the higher coefficient: 39 to 55 W/(m2 K) over charcoal against 15 in the open
 * (prior, properties.ts), a difference of half of their sum at a lean of 1. Ours.
 */
const COEFFICIENT_PER_LEAN = 0.5;

/** The course laid over a row of times, the same for every guess. Index k describes timesS[k]. */
export type Frame = {
  timesS: Float64Array;
  /** The stay that begins at this time or lasts through it. */
  stay: Int32Array;
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
  const stayAt = (t: number): number =>
    Math.max(
      course.stays.findLastIndex(({ fromS }) => fromS <= t),
      0,
    );
  return {
    timesS,
    stay: Int32Array.from(timesS, stayAt),
    isTurn: Uint8Array.from(timesS, (t) => (turns.has(t) ? 1 : 0)),
    openness: Float64Array.from(timesS, (t) => lidOpenness(course.openings, t)),
  };
}

/** Excess of one stay with closed lid and without the wander, degC above the start. */
export function fullExcessC(course: Course, guess: Guess, stay: number): number {
  return guess.share * Math.exp(guess.shifts[stay] ?? 0) * (course.stays[stay]?.excessC ?? 0);
}

/** Logarithm of how far the fire has wandered at a time between 0 and `endS`. */
export function wanderAt(wander: readonly number[], atS: number, endS: number): number {
  const place = endS > 0 ? (atS / endS) * wander.length : 0;
  let sum = 0;
  for (let part = 0; part < wander.length; part += 1) {
    sum += (wander[part] ?? 0) * Math.min(Math.max(place - part, 0), 1);
  }
  return sum;
}

export type Sides = { below: Side; above: Side };

/** Both sides for a mean excess of `excessC`: their mean heat is that of two sides alike. */
export function sidesOf(guess: Guess, excessC: number, lean: number): Sides {
  const unlike = COEFFICIENT_PER_LEAN * Math.min(lean, 1.5);
  const unitC = excessC / (1 + unlike * lean);
  const steamMaxK = Math.max(excessC * guess.steam, 0);
  return {
    below: {
      biot: guess.biot * (1 + unlike),
      ambientC: guess.startC + unitC * (1 + lean),
      steamMaxK,
    },
    above: {
      biot: guess.biot * (1 - unlike),
      ambientC: guess.startC + unitC * (1 - lean),
      steamMaxK,
    },
  };
}
