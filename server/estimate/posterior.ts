import type { Course } from './course.ts';
import { frameOf } from './drive.ts';
import type { Guess } from './drive.ts';
import { drawScores, fitScores } from './fit.ts';
import type { Fit } from './fit.ts';
import { HORIZON_S, march, waitS } from './march.ts';
import type { Run } from './march.ts';
import type { Grid } from './profile.ts';
import { normalPoints } from './normal.ts';
import type { Prior } from './prior.ts';
import type { Bin } from './samples.ts';

/** One observation of the core with its standard error, model error included. */
export type Observation = { atS: number; tempC: number; sdC: number };
/** The temperature that every draw has to start from, at the end of the frame. */
export type Anchor = { tempC: number; sdC: number };

export type Problem = {
  course: Course;
  grid: Grid;
  prior: Prior;
  observations: readonly Observation[];
  /** Seconds since on of the anchor, or of now where there is none. */
  endS: number;
  anchor: Anchor | null;
  targetC: number;
};

/** Enough that ten quantiles are steady to about 2 % of the wait, few enough for a screen of rows every second. */
const DRAWS = 80;

/**
 * Without a curve the prior speaks alone, and its parts, each wide enough to let a fit move, add up to more than cooks
 * scatter: their sum is drawn in by this. Calibrated on the cooks of test/accuracy to hold about 9 in 10.
 */
const CLOCK_SHRINK = 0.7;

/** Spread of the logarithm of a whole cook's time about its prior, on the late side. Assumption. */
const WHOLE_LOG_SD = 0.9;
/** What is left to fires that go out. Assumption. */
const DEAD_FIRE = 0.05;

/** A plan of one turn means about half-way. */
const SINGLE_TURN_SHARE = 0.5;
/** People keep a turn plan roughly. Assumption. */
const TURN_LOG_SD = 0.2;
/** A turn that is overdue is taken to come after this share of the interval. Assumption. */
const LATE_TURN_SHARE = 0.2;
/** After so many more turns both sides count alike. */
const TURNS_AHEAD = 12;

/**
 * A model body against a real one, per bin of about thirty: neighbouring bins err together. Calibrated. Old readings
 * are not forgotten: the wander of the fire says what they are still worth.
 */
const MODEL_SD_C = 0.5;

/** Binned readings with their standard errors. */
export function observationsOf(bins: readonly Bin[], noiseC: number): Observation[] {
  return bins.map(({ atS, tempC, n }) => ({
    atS,
    tempC,
    sdC: Math.hypot(noiseC / Math.sqrt(n), MODEL_SD_C),
  }));
}

/** Turns after the end of the run, done or still to come by the plan, seconds from there. */
function turnsInS(p: Problem, guess: Guess, run: Run): number[] {
  const { turnPlan, turnsS } = p.course;
  const done = turnsS.filter((atS) => atS > run.endS).map((atS) => atS - run.endS);
  if (turnPlan.kind === 'none' || (turnPlan.kind === 'once' && turnsS.length > 0)) return done;
  if (turnPlan.kind === 'once') {
    const wait = waitS(p.course, run, guess, { ...aheadOf(p, run, 0), turnsInS: [], wander: 0 });
    const wholeS = Number.isFinite(wait) ? run.endS + wait : 2 * run.endS;
    return [Math.max(SINGLE_TURN_SHARE * wholeS - run.endS, 0)];
  }
  const sinceS = run.endS - (turnsS.at(-1) ?? 0);
  const firstS = Math.max(turnPlan.seconds - sinceS, LATE_TURN_SHARE * turnPlan.seconds);
  return [...done, ...Array.from({ length: TURNS_AHEAD }, (_, index) => firstS + index * turnPlan.seconds)];
}

function aheadOf(p: Problem, run: Run, anchorScore: number): { targetC: number; offsetC: number } {
  const modelC = run.tipC.at(-1) ?? Number.NaN;
  const offsetC = p.anchor ? p.anchor.tempC + p.anchor.sdC * anchorScore - modelC : 0;
  return { targetC: p.targetC, offsetC };
}

function fitOf(p: Problem): { fit: Fit; frame: ReturnType<typeof frameOf> } {
  const frame = frameOf(p.course, [...p.observations.map(({ atS }) => atS), p.endS]);
  const indexOf = new Map([...frame.timesS].map((t, k) => [t, k]));
  const seen = p.observations.filter(({ atS }) => indexOf.has(atS));
  const fit = fitScores((scores) => {
    const { tipC } = march(p.course, frame, p.prior.guessAt(scores), p.grid);
    return Float64Array.from(seen, (o) => ((tipC[indexOf.get(o.atS) ?? 0] ?? Number.NaN) - o.tempC) / o.sdC);
  }, p.prior.size);
  return { fit, frame };
}

/**
 * Waiting times from the end of the frame to the target: one per draw from the posterior, the same on every call.
 * @returns seconds; Infinity for a draw that never arrives
 */
export function drawnWaitsS(p: Problem): number[] {
  const { fit, frame } = fitOf(p);
  const middle = p.prior.guessAt(fit.scores);
  const turns = turnsInS(p, middle, march(p.course, frame, middle, p.grid));
  const stretch = p.observations.length > 1 ? 1 : CLOCK_SHRINK;
  const draws = normalPoints(DRAWS, p.prior.size + 3).map((point) => {
    const extra = point.slice(p.prior.size);
    const guess = p.prior.guessAt(drawScores(fit, point, stretch));
    const run = march(p.course, frame, guess, p.grid);
    const ahead = {
      ...aheadOf(p, run, extra[0] ?? 0),
      turnsInS: turns.map((inS) => inS * Math.exp(TURN_LOG_SD * (extra[2] ?? 0))),
      wander: p.prior.wanderLogSd * (extra[1] ?? 0),
    };
    return waitS(p.course, run, guess, ahead);
  });
  return likelyWaitsS(p, draws);
}

/** How long the whole cook takes by the prior's middle, without a turn; Infinity where that does not get there. */
function usualWholeS(p: Problem): number {
  const guess = p.prior.guessAt([]);
  const start = march(p.course, frameOf(p.course, []), guess, p.grid);
  return waitS(p.course, start, guess, { targetC: p.targetC, offsetC: 0, turnsInS: [], wander: 0 });
}

/**
 * The same draws, those of cooks that last far longer than such cooks do resampled more thinly: a cook chooses a fire
 * that gets there. The single quantities are each free enough to let a fit move, and together they would allow
 * ambients just above the target much too often.
 */
function likelyWaitsS(p: Problem, draws: readonly number[]): number[] {
  const usualS = usualWholeS(p);
  if (!Number.isFinite(usualS)) return [...draws];
  const sorted = [...draws].sort((a, b) => a - b);
  const weights = sorted.map((wait) => {
    const late = Math.max(Math.log((p.endS + Math.min(wait, HORIZON_S)) / usualS), 0) / WHOLE_LOG_SD;
    return DEAD_FIRE + (1 - DEAD_FIRE) * Math.exp(-0.5 * late * late);
  });
  const step = weights.reduce((sum, weight) => sum + weight, 0) / sorted.length;
  let [index, passed] = [0, 0];
  return sorted.map((_, place) => {
    while (index < sorted.length - 1 && passed + (weights[index] ?? 0) < (place + 0.5) * step) {
      passed += weights[index] ?? 0;
      index += 1;
    }
    return sorted[index] ?? Number.POSITIVE_INFINITY;
  });
}
