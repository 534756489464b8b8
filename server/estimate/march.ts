import type { Course } from './course.ts';
import { fullExcessC, sidesOf, wanderAt } from './drive.ts';
import type { Frame, Guess } from './drive.ts';
import { lidOpenness } from './lid.ts';
import { evenProfile, passTime, shortStep, tempAt } from './profile.ts';
import type { Grid, Profile } from './profile.ts';

/** A course that was run: the tip at every time of the frame, and the state at its end. */
export type Run = {
  tipC: Float64Array;
  profile: Profile;
  /** Whether the side lies on the fire that did so first. */
  isFirstDown: boolean;
  endS: number;
};

/** Nothing on a grill takes longer; beyond it a draw counts as never. */
export const HORIZON_S = 24 * 3600;
/** Steps of the look ahead, as Fourier numbers, grow with the time that it already spans. */
const STEP_FOURIER = 0.015;
const STEP_SHARE = 0.05;
/** A fire is kept: over more Fourier numbers than these it wanders no further. Assumption. */
const WANDER_FOURIER = 2;

/** `inOne`: in a single step, however long. */
type Pass = { forS: number; excessC: number; lean: number; isFirstDown: boolean; inOne: boolean };

function pass(profile: Profile, guess: Guess, { forS, excessC, lean, isFirstDown, inOne }: Pass): void {
  const { grid } = profile;
  const { below, above } = sidesOf(guess, excessC, grid.isSlab ? lean : 0);
  const fourier = forS * guess.kappaPerS;
  const count = inOne ? 1 : Math.max(Math.ceil(fourier / shortStep(grid)), 1);
  for (let part = 0; part < count; part += 1) {
    if (isFirstDown) passTime(profile, fourier / count, below, above);
    else passTime(profile, fourier / count, above, below);
  }
}

/** Runs one guess over the frame. */
export function march(course: Course, frame: Frame, guess: Guess, grid: Grid): Run {
  const profile = evenProfile(grid, guess.startC);
  const { timesS, stay, isTurn, openness } = frame;
  const endS = timesS.at(-1) ?? 0;
  const excess = course.stays.map((_, index) => fullExcessC(course, guess, index));
  const tipC = new Float64Array(timesS.length);
  let isFirstDown = true;
  for (let k = 0; k < timesS.length; k += 1) {
    const toS = timesS[k] ?? 0;
    const fromS = timesS[k - 1] ?? 0;
    if (toS > fromS) {
      const lid = 1 - (guess.lidDip * ((openness[k - 1] ?? 0) + (openness[k] ?? 0))) / 2;
      const wander = Math.exp(wanderAt(guess.wander, (fromS + toS) / 2, endS));
      const excessC = (excess[stay[k - 1] ?? 0] ?? 0) * lid * wander;
      pass(profile, guess, { forS: toS - fromS, excessC, lean: guess.lean, isFirstDown, inOne: false });
    }
    tipC[k] = tempAt(profile, guess.tip);
    if (isTurn[k] === 1) isFirstDown = !isFirstDown;
  }
  return { tipC, profile, isFirstDown, endS };
}

export type Ahead = {
  targetC: number;
  /** What the newest readings are above the model: the whole profile is taken to be off by it. */
  offsetC: number;
  /** The turns to come that are looked at one by one, seconds from the end of the run, ascending. */
  turnsInS: readonly number[];
  /** The fire to come against the present one: logarithm per square root of the Fourier number ahead, at first. */
  wander: number;
};

/** Seconds from the end of a run until the tip reaches the target; Infinity when it never does. */
export function waitS(course: Course, run: Run, guess: Guess, ahead: Ahead): number {
  const { grid } = run.profile;
  const profile = { grid, tempsC: run.profile.tempsC.map((tempC) => tempC + ahead.offsetC) };
  const nowC = fullExcessC(course, guess, course.stays.length - 1) * Math.exp(wanderAt(guess.wander, 1, 1));
  const { kappaPerS } = guess;
  const { turnsInS } = ahead;
  let { isFirstDown } = run;
  let [aheadS, turned] = [0, 0];
  let tempC = tempAt(profile, guess.tip);
  while (tempC < ahead.targetC) {
    if (!(aheadS < HORIZON_S)) return Number.POSITIVE_INFINITY;
    const turnInS = (turnsInS[turned] ?? Number.POSITIVE_INFINITY) - aheadS;
    const stepS = Math.min(Math.max(STEP_FOURIER / kappaPerS, STEP_SHARE * aheadS), Math.max(turnInS, 0));
    const middleS = aheadS + stepS / 2;
    // After the turns that are looked at, both sides count alike.
    const lean = turned > 0 && turned >= turnsInS.length && course.turnPlan.kind === 'every' ? 0 : guess.lean;
    const lid = 1 - guess.lidDip * lidOpenness(course.openings, run.endS + middleS);
    const wander = Math.exp(
      ahead.wander * Math.sqrt(WANDER_FOURIER * -Math.expm1(-(kappaPerS * middleS) / WANDER_FOURIER)),
    );
    const excessC = nowC * lid * wander;
    if (stepS > 0) pass(profile, guess, { forS: stepS, excessC, lean, isFirstDown, inOne: true });
    const nextC = tempAt(profile, guess.tip);
    if (nextC >= ahead.targetC) return aheadS + (stepS * (ahead.targetC - tempC)) / (nextC - tempC);
    [tempC, aheadS] = [nextC, aheadS + stepS];
    if (stepS < turnInS) continue;
    turned += 1;
    isFirstDown = !isFirstDown;
  }
  return aheadS;
}
