import type { Course } from './course.ts';
import { frameOf } from './drive.ts';
import type { Guess } from './drive.ts';
import { drawScores, fitScores } from './fit.ts';
import type { Fit } from './fit.ts';
import { march, waitS } from './march.ts';
import type { Run } from './march.ts';
import type { Grid } from './profile.ts';
import { normalPoints } from './normal.ts';
import type { Prior } from './prior.ts';
import { PRIOR } from './properties.ts';
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

declare const process: any;
const E = (n: string, d: number): number => Number(process.env[n] ?? d);
/**
 * What no drawn quantity knows: wind, shrinking, shape. A claim below 4 % at half-way is not credible with an unknown
 * ambient (Cramer-Rao bound, computed).
 */
const WAIT_LOG_SD = E('WL', 0.05);
/**
 * Without a curve the prior speaks alone, and its parts, each wide enough to let a fit move, add up to more than cooks
 * scatter: their sum is drawn in by this. Calibrated on the cooks of test/accuracy to hold about 9 in 10.
 */
const CLOCK_SHRINK = E('CS', 0.65);

/** A plan of one turn means about half-way. */
const SINGLE_TURN_SHARE = 0.5;
/** People keep a turn plan roughly. Assumption. */
const TURN_LOG_SD = 0.2;
/** A turn that is overdue is taken to come after this share of the interval. Assumption. */
const LATE_TURN_SHARE = 0.2;
/** Later turns than these count by their mean. */
const TURNS_AHEAD = 12;

/** Standard errors of binned readings: older ones are trusted less, because the fire and the food change. */
export function observationsOf(bins: readonly Bin[], noiseC: number): Observation[] {
  const last = bins.at(-1);
  if (!last) return [];
  const forgetS = Math.max(FORGET_SHARE * last.atS, FORGET_MIN_S);
  return bins.map(({ atS, tempC, n }) => ({
    atS,
    tempC,
    sdC: Math.hypot(noiseC / Math.sqrt(n), MODEL_SD_C) * Math.exp((last.atS - atS) / (2 * forgetS)),
  }));
}
/** A one-term body against a real one, per bin of about forty: neighbouring bins err together. Calibrated. */
const MODEL_SD_C = E('MS', 0.5);
const FORGET_SHARE = E('FS', 0.5);
const FORGET_MIN_S = 120;

/** Turns that are still to come by the plan, seconds from the end of the run; the newest few are looked at singly. */
function turnsInS(p: Problem, guess: Guess, run: Run): number[] {
  const { turnPlan, turnsS } = p.course;
  if (turnPlan.kind === 'none' || (turnPlan.kind === 'once' && turnsS.length > 0)) return [];
  if (turnPlan.kind === 'once') {
    const wait = waitS(p.course, run, guess, { ...aheadOf(p, run, 0), turnsInS: [], wander: 0 });
    const wholeS = Number.isFinite(wait) ? run.endS + wait : 2 * run.endS;
    return [Math.max(SINGLE_TURN_SHARE * wholeS - run.endS, 0)];
  }
  const sinceS = run.endS - (turnsS.at(-1) ?? 0);
  const firstS = Math.max(turnPlan.seconds - sinceS, LATE_TURN_SHARE * turnPlan.seconds);
  return Array.from({ length: TURNS_AHEAD }, (_, index) => firstS + index * turnPlan.seconds);
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
  const priorMiddle = p.prior.guessAt([]);
  const zeroFrame = frameOf(p.course, []);
  const priorS = waitS(p.course, march(p.course, zeroFrame, priorMiddle, p.grid), priorMiddle, { targetC: p.targetC, offsetC: 0, turnsInS: [], wander: 0 });
  const draws = normalPoints(DRAWS, p.prior.size + 4).map((point) => {
    const extra = point.slice(p.prior.size);
    const guess = p.prior.guessAt(drawScores(fit, point, stretch));
    const run = march(p.course, frame, guess, p.grid);
    const ahead = {
      ...aheadOf(p, run, extra[0] ?? 0),
      turnsInS: turns.map((inS) => inS * Math.exp(TURN_LOG_SD * (extra[2] ?? 0))),
      wander: (p.grid.isSlab ? 1 : Number(process.env['RW'] ?? 1.41)) * PRIOR.wanderLogSd * (extra[1] ?? 0),
    };
    return waitS(p.course, run, guess, ahead) * Math.exp(WAIT_LOG_SD * (extra[3] ?? 0));
  });
  return weighted(draws, p, priorS);
}

function weighted(draws: number[], p: Problem, priorS: number): number[] {
  const sd = E('DS', 0.6);
  if (!Number.isFinite(priorS) || sd > 50 || p.observations.length < 2) return draws;
  const sorted = [...draws].sort((a, b) => a - b);
  const w = sorted.map((d) => Math.exp(-0.5 * (Math.max(0, Math.log((p.endS + Math.min(d, 86400)) / priorS)) / sd) ** 2));
  const total = w.reduce((a, b) => a + b, 0);
  let [k, sum] = [0, 0];
  return Array.from({ length: 80 }, (_, i) => {
    const aim = ((i + 0.5) / 80) * total;
    while (k < 79 && sum + (w[k] ?? 0) < aim) { sum += w[k] ?? 0; k += 1; }
    return sorted[k] ?? Infinity;
  });
}
