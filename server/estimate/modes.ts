import type { Shape } from '../contract/food.ts';
import { eigenpairs } from './eigenvalues.ts';
import type { Eigenpair } from './eigenvalues.ts';

/** Six terms are exact to 1e-4 from Fo = 0.02 on, long before a core moves. */
const TERMS = 6;

/** The conduction series as first-order lags: each term follows the drive with its own rate (1/s) and weight. */
export type Modes = { ratesPerS: Float64Array; weights: Float64Array };

/** Eigenpairs by Biot number. Most guesses of a fit differ in something else. */
export type Spectrum = (biot: number) => readonly Eigenpair[];

/** Remembers the Biot number that was asked for last. */
export function spectrumOf(shape: Shape): Spectrum {
  let [lastBiot, pairs] = [Number.NaN, [] as readonly Eigenpair[]];
  return (biot) => {
    if (biot !== lastBiot) [lastBiot, pairs] = [biot, eigenpairs(shape, biot, TERMS)];
    return pairs;
  };
}

export function modesOf(pairs: readonly Eigenpair[], kappaPerS: number): Modes {
  const ratesPerS = Float64Array.from(pairs, ({ zeta }) => zeta * zeta * kappaPerS);
  const weights = Float64Array.from(pairs, ({ coefficient }) => coefficient);
  // The weights of the endless series add up to one; the last one kept carries the rest, so that nothing moves at once.
  let sum = 0;
  for (const weight of weights) sum += weight;
  weights[TERMS - 1] = (weights[TERMS - 1] ?? 0) + 1 - sum;
  return { ratesPerS, weights };
}

/** What is still to arrive of past changes of the drive, one number per term, degC. */
export type Lag = Float64Array;

export function noLag(modes: Modes): Lag {
  return new Float64Array(modes.weights.length);
}

/** The drive jumps by `byC` (Duhamel's superposition). */
export function jump(lag: Lag, modes: Modes, byC: number): void {
  for (let n = 0; n < lag.length; n += 1) lag[n] = (lag[n] ?? 0) + (modes.weights[n] ?? 0) * byC;
}

/** Lets `forS` seconds pass while the drive changes evenly by `slopeCPerS`: exact, whatever the step. */
export function pass(lag: Lag, modes: Modes, forS: number, slopeCPerS: number): void {
  for (let n = 0; n < lag.length; n += 1) {
    const rate = modes.ratesPerS[n] ?? 0;
    const kept = Math.exp(-rate * forS);
    lag[n] = (lag[n] ?? 0) * kept + ((modes.weights[n] ?? 0) * slopeCPerS * (1 - kept)) / rate;
  }
}

/** Core temperature, degC: the drive less what is still to arrive. */
export function coreC(driveC: number, lag: Lag): number {
  let sum = 0;
  for (const part of lag) sum += part;
  return driveC - sum;
}
