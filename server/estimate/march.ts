import type { Course } from './course.ts';
import { fullExcessC, leanTimeS, restLean } from './drive.ts';
import type { Frame, Guess } from './drive.ts';
import { lidOpenness } from './lid.ts';
import { coreC, jump, modesOf, noLag, pass } from './modes.ts';
import type { Lag, Modes, Spectrum } from './modes.ts';

/** A course that was run: the tip at every time of the frame, and the state at its end. */
export type Run = {
  tipC: Float64Array;
  modes: Modes;
  lag: Lag;
  driveC: number;
  lean: number;
  /** 1 while the side lies on the fire that did so first, -1 after an odd number of turns. */
  side: 1 | -1;
  endS: number;
};

/** Nothing on a grill takes longer; beyond it a draw counts as never. */
const HORIZON_S = 24 * 3600;
const STEP_MIN_S = 2;
/** Steps of the look ahead grow with the time that it already spans. */
const STEP_SHARE = 0.06;

/** Runs one guess over the frame: exact for a drive of straight pieces. */
export function march(course: Course, frame: Frame, guess: Guess, spectrum: Spectrum): Run {
  const modes = modesOf(spectrum(guess.biot), guess.kappaPerS);
  const excess = course.stays.map((_, stay) => fullExcessC(course, guess, stay));
  const pastPlan = course.turnsS.length > 0 ? { kind: 'none' as const } : course.turnPlan;
  const rest = restLean(pastPlan, guess.kappaPerS);
  const leanS = leanTimeS(guess.kappaPerS);
  const lag = noLag(modes);
  const { timesS } = frame;
  const tipC = new Float64Array(timesS.length);
  let [lean, driveC] = [0, guess.startC];
  let side: 1 | -1 = 1;
  for (let k = 0; k < timesS.length; k += 1) {
    const forS = k === 0 ? 0 : (timesS[k] ?? 0) - (timesS[k - 1] ?? 0);
    const lid = 1 - guess.lidDip * (frame.openness[k] ?? 0);
    lean = rest - (rest - lean) * Math.exp(-forS / leanS);
    const excessC = excess[frame.stayBefore[k] ?? 0] ?? 0;
    const beforeC = k === 0 ? guess.startC : guess.startC + excessC * lid * (1 - guess.turnDip * lean);
    if (forS > 0) pass(lag, modes, forS, (beforeC - driveC) / forS);
    tipC[k] = coreC(beforeC, lag) + guess.tipLean * excessC * side * lean;
    if (frame.isTurn[k] === 1) [lean, side] = [-lean, side === 1 ? -1 : 1];
    driveC = guess.startC + (excess[frame.stayAfter[k] ?? 0] ?? 0) * lid * (1 - guess.turnDip * lean);
    jump(lag, modes, driveC - beforeC);
  }
  return { tipC, modes, lag, driveC, lean, side, endS: timesS.at(-1) ?? 0 };
}

export type Ahead = {
  targetC: number;
  /** What the newest readings are above the model: kept, so that every draw starts from what was measured. */
  offsetC: number;
  /** The turns to come that are looked at one by one, seconds from the end of the run, ascending. */
  turnsInS: readonly number[];
};

/** Seconds from the end of a run until the tip reaches the target; Infinity when it never does. */
export function waitS(course: Course, run: Run, guess: Guess, ahead: Ahead): number {
  const { modes, endS } = run;
  const lag = run.lag.slice();
  const excessC = fullExcessC(course, guess, course.stays.length - 1);
  const leanS = leanTimeS(guess.kappaPerS);
  const firstStepS = 0.25 / (modes.ratesPerS[0] ?? 1);
  const turns = [...ahead.turnsInS];
  let { driveC, lean, side } = run;
  // Beyond the turns that are looked at, a tip off the middle sees as much of one side as of the other.
  let tipShare = 1;
  let aheadS = 0;
  let tempC = coreC(driveC, lag) + ahead.offsetC + guess.tipLean * excessC * side * lean;
  while (tempC < ahead.targetC) {
    if (!(aheadS < HORIZON_S)) return Number.POSITIVE_INFINITY;
    const turnInS = turns[0] === undefined ? Number.POSITIVE_INFINITY : Math.max(turns[0] - aheadS, 0);
    const stepS = Math.min(Math.max(STEP_MIN_S, STEP_SHARE * (aheadS + firstStepS)), turnInS);
    const isAveraged = turns.length === 0 && course.turnPlan.kind === 'every';
    const rest = isAveraged ? restLean(course.turnPlan, guess.kappaPerS) : 1;
    if (isAveraged) tipShare *= Math.exp(-stepS / leanS);
    lean = rest - (rest - lean) * Math.exp(-stepS / leanS);
    const lid = 1 - guess.lidDip * lidOpenness(course.openings, endS + aheadS + stepS);
    const beforeC = guess.startC + excessC * lid * (1 - guess.turnDip * lean);
    if (stepS > 0) pass(lag, modes, stepS, (beforeC - driveC) / stepS);
    const nextC = coreC(beforeC, lag) + ahead.offsetC + guess.tipLean * excessC * tipShare * side * lean;
    if (nextC >= ahead.targetC) return aheadS + (stepS * (ahead.targetC - tempC)) / (nextC - tempC);
    [driveC, tempC, aheadS] = [beforeC, nextC, aheadS + stepS];
    if (stepS < turnInS) continue;
    turns.shift();
    [lean, side] = [-lean, side === 1 ? -1 : 1];
    driveC = guess.startC + excessC * lid * (1 - guess.turnDip * lean);
    jump(lag, modes, driveC - beforeC);
  }
  return aheadS;
}
