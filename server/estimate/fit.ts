import { cholesky, solveLower, solveUpper } from './matrix.ts';
import type { Triangle } from './matrix.ts';

/** Misfits of a guess: (model - measured) / sd for each observation. */
export type Misfits = (scores: readonly number[]) => Float64Array;

/** The most likely scores, and the factor of the curvature there: the posterior is about normal with it. */
export type Fit = { scores: number[]; curvature: Triangle };

const MAX_STEPS = 14;
const DIFFERENCE = 0.02;
/** Student's t: a reading far off (a spike, a probe touching bone) does not pull. Common practice, no source. */
const DEGREES_OF_FREEDOM = 4;

function weight(misfit: number): number {
  return (DEGREES_OF_FREEDOM + 1) / (DEGREES_OF_FREEDOM + misfit * misfit);
}

/** Minus the logarithm of the posterior, twice, without its constant. */
function cost(misfits: Float64Array, scores: readonly number[]): number {
  let sum = 0;
  for (const r of misfits) sum += (DEGREES_OF_FREEDOM + 1) * Math.log1p((r * r) / DEGREES_OF_FREEDOM);
  for (const score of scores) sum += score * score;
  return sum;
}

type Normal = { matrix: number[][]; gradient: number[] };

/** Gauss-Newton's matrix and gradient in standard scores, where the prior is the unit matrix. */
function normalEquations(misfitsOf: Misfits, scores: readonly number[], base: Float64Array): Normal {
  const columns = scores.map((_, j) => {
    const moved = scores.map((score, i) => (i === j ? score + DIFFERENCE : score));
    return misfitsOf(moved).map((r, k) => (r - (base[k] ?? 0)) / DIFFERENCE);
  });
  const weights = base.map(weight);
  const dot = (a: Float64Array, b: Float64Array): number => {
    let sum = 0;
    for (let k = 0; k < a.length; k += 1) sum += (weights[k] ?? 0) * (a[k] ?? 0) * (b[k] ?? 0);
    return sum;
  };
  return {
    matrix: columns.map((a, i) => columns.map((b, j) => dot(a, b) + (i === j ? 1 : 0))),
    gradient: columns.map((a, i) => dot(a, base) + (scores[i] ?? 0)),
  };
}

function damped(matrix: readonly (readonly number[])[], damping: number): number[][] {
  return matrix.map((row, i) => row.map((entry, j) => (i === j ? entry * (1 + damping) : entry)));
}

/**
 * Most likely scores by Levenberg and Marquardt's method, and the curvature there (Laplace's approximation).
 * Source: Levenberg 1944, Marquardt 1963 (from memory). The prior is a standard normal on every score, so the
 * problem is always well posed, with any number of observations, none included.
 */
export function fitScores(misfitsOf: Misfits, size: number): Fit {
  let scores = Array.from({ length: size }, () => 0);
  let misfits = misfitsOf(scores);
  let best = cost(misfits, scores);
  let damping = 0.01;
  let normal = normalEquations(misfitsOf, scores, misfits);
  for (let step = 0; step < MAX_STEPS; step += 1) {
    const factor = cholesky(damped(normal.matrix, damping));
    if (!factor) break;
    const move = solveUpper(factor, solveLower(factor, normal.gradient));
    const next = scores.map((score, i) => Math.min(Math.max(score - (move[i] ?? 0), -5), 5));
    const nextMisfits = misfitsOf(next);
    const nextCost = cost(nextMisfits, next);
    if (!(nextCost < best)) {
      damping *= 8;
      if (damping > 1e6) break;
      continue;
    }
    const isSettled = best - nextCost < 0.01;
    [scores, misfits, best] = [next, nextMisfits, nextCost];
    damping = Math.max(damping / 6, 1e-6);
    normal = normalEquations(misfitsOf, scores, misfits);
    if (isSettled) break;
  }
  return { scores, curvature: cholesky(normal.matrix) ?? identity(size) };
}

function identity(size: number): Triangle {
  return Array.from({ length: size }, (_, i) =>
    Array.from({ length: size }, (_unused, j) => (i === j ? 1 : 0)),
  );
}

/** A draw from the posterior: the fit plus the standard point, stretched by the curvature and by `stretch`. */
export function drawScores(fit: Fit, point: readonly number[], stretch: number): number[] {
  const stretched = solveUpper(
    fit.curvature,
    fit.scores.map((_, i) => point[i] ?? 0),
  );
  return fit.scores.map((score, i) => score + stretch * (stretched[i] ?? 0));
}
