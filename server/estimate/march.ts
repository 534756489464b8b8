import type { Shape } from '../contract/food.ts';
import type { Course } from './course.ts';
import { fullExcessC, leanTimeS, restLean } from './drive.ts';
import type { Frame, Guess } from './drive.ts';
import { lidOpenness } from './lid.ts';
import { coreC, jump, modesOf, noLag, pass } from './modes.ts';
import type { Lag, Modes } from './modes.ts';

/** A course that was run: the core at every time of the frame, and the state at its end. */
export type Run = {
  coreC: Float64Array;
  modes: Modes;
  lag: Lag;
  driveC: number;
  lean: number;
  endS: number;
};

/** Nothing on a grill takes longer; beyond it a draw counts as never. */
const HORIZON_S = 24 * 3600;
const STEP_MIN_S = 2;
/** Steps of the look ahead grow with the time that it already spans. */
const STEP_SHARE = 0.06;

/** Runs one guess over the frame: exact for a drive of straight pieces. */
export function march(course: Course, frame: Frame, guess: Guess, shape: Shape): Run {
  const modes = modesOf(shape, guess.biot, guess.kappaPerS);
  const excess = course.stays.map((_, stay) => fullExcessC(course, guess, stay));
  const pastPlan = course.turnsS.length > 0 ? { kind: 'none' as const } : course.turnPlan;
  const rest = restLean(pastPlan, guess.kappaPerS);
  const leanS = leanTimeS(guess.kappaPerS);
  const lag = noLag(modes);
  const { timesS } = frame;
  const cores = new Float64Array(timesS.length);
  let lean = 0;
  let driveC = guess.startC;
  for (let k = 0; k < timesS.length; k += 1) {
    const forS = k === 0 ? 0 : (timesS[k] ?? 0) - (timesS[k - 1] ?? 0);
    const lid = 1 - guess.lidDip * (frame.openness[k] ?? 0);
    lean = rest - (rest - lean) * Math.exp(-forS / leanS);
    const beforeC =
      k === 0
        ? guess.startC
        : guess.startC + (excess[frame.stayBefore[k] ?? 0] ?? 0) * lid * (1 - guess.turnDip * lean);
    if (forS > 0) pass(lag, modes, forS, (beforeC - driveC) / forS);
    cores[k] = coreC(beforeC, lag);
    if (frame.isTurn[k] === 1) lean = -lean;
    driveC = guess.startC + (excess[frame.stayAfter[k] ?? 0] ?? 0) * lid * (1 - guess.turnDip * lean);
    jump(lag, modes, driveC - beforeC);
  }
  return { coreC: cores, modes, lag, driveC, lean, endS: timesS.at(-1) ?? 0 };
}

export type Ahead = {
  targetC: number;
  /** What the newest readings are above the model: kept, so that every draw starts from what was measured. */
  offsetC: number;
  /** A single turn that is still to come, seconds since on; null = none. */
  turnAtS: number | null;
};

/** Seconds from the end of a run until the core reaches the target; Infinity when it never does. */
export function waitS(course: Course, run: Run, guess: Guess, ahead: Ahead): number {
  const { modes } = run;
  const lag = run.lag.slice();
  const excess = fullExcessC(course, guess, course.stays.length - 1);
  const rest = restLean(course.turnPlan, guess.kappaPerS);
  const leanS = leanTimeS(guess.kappaPerS);
  const slowest = modes.ratesPerS[0] ?? 0;
  let { driveC, lean } = run;
  let aheadS = 0;
  let tempC = coreC(driveC, lag) + ahead.offsetC;
  let turnInS = ahead.turnAtS === null ? null : Math.max(ahead.turnAtS - run.endS, 0);
  while (tempC < ahead.targetC) {
    if (!(aheadS < HORIZON_S)) return Number.POSITIVE_INFINITY;
    const grown = Math.max(STEP_MIN_S, STEP_SHARE * (aheadS + 0.25 / slowest));
    const stepS = turnInS !== null && turnInS > 0 ? Math.min(grown, turnInS) : grown;
    const lidNow = 1 - guess.lidDip * lidOpenness(course.openings, run.endS + aheadS + stepS);
    if (turnInS !== null) turnInS -= stepS;
    lean = rest - (rest - lean) * Math.exp(-stepS / leanS);
    const beforeC = guess.startC + excess * lidNow * (1 - guess.turnDip * lean);
    pass(lag, modes, stepS, (beforeC - driveC) / stepS);
    const nextC = coreC(beforeC, lag) + ahead.offsetC;
    if (nextC >= ahead.targetC) return aheadS + (stepS * (ahead.targetC - tempC)) / (nextC - tempC);
    driveC = beforeC;
    if (turnInS !== null && turnInS <= 0) {
      turnInS = null;
      lean = -lean;
      driveC = guess.startC + excess * lidNow * (1 - guess.turnDip * lean);
      jump(lag, modes, driveC - beforeC);
    }
    tempC = nextC;
    aheadS += stepS;
  }
  return aheadS;
}
