import type { Reading } from '../contract/reading.ts';

/** A reading in seconds since a chosen moment. */
export type Sample = { atS: number; tempC: number };

/** Probes settle within about this of noise even when they show nothing of it. Assumption. */
const NOISE_MIN_C = 0.08;
/** A step of q degrees hides an even error of q/sqrt(12); a little more because steps come in runs. */
const NOISE_PER_STEP = 0.35;

/** Between readings so far apart the core itself bends: second differences say little about the probe. Assumption. */
const SPARSE_S = 60;
const NOISE_SPARSE_C = 0.5;

/** What can be fitted: finite, not flagged fail (4) or missing (9), not after now, in ascending order. */
export function usableSamples(readings: readonly Reading[], zeroMs: number, nowMs: number): Sample[] {
  const samples: Sample[] = [];
  let lastMs = Number.NEGATIVE_INFINITY;
  for (const { atMs, tempC, quality } of readings) {
    if (quality === 4 || quality === 9 || !Number.isFinite(tempC)) continue;
    if (!(atMs > lastMs && atMs <= nowMs)) continue;
    lastMs = atMs;
    samples.push({ atS: (atMs - zeroMs) / 1000, tempC });
  }
  return samples;
}

export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = (sorted.length - 1) / 2;
  return ((sorted[Math.floor(middle)] ?? Number.NaN) + (sorted[Math.ceil(middle)] ?? Number.NaN)) / 2;
}

/** Each value replaced by the median of itself and its neighbours: single spikes vanish, slopes stay. */
export function withoutSpikes(samples: readonly Sample[]): Sample[] {
  return samples.map((sample, i) => {
    const [before, after] = [samples[i - 1], samples[i + 1]];
    if (!before || !after) return sample;
    const [a, b, c] = [before.tempC, sample.tempC, after.tempC];
    return { atS: sample.atS, tempC: Math.max(Math.min(a, b), Math.min(Math.max(a, b), c)) };
  });
}

/** Scatter of single readings, degC (1 sd): from second differences, but never less than the display's step hides. */
export function noiseC(samples: readonly Sample[]): number {
  const second: number[] = [];
  let step = Number.POSITIVE_INFINITY;
  for (let i = 1; i < samples.length; i += 1) {
    const [before, here, after] = [samples[i - 1], samples[i], samples[i + 1]];
    if (!before || !here) continue;
    const change = Math.abs(here.tempC - before.tempC);
    if (change > 1e-6) step = Math.min(step, change);
    if (after) second.push(Math.abs(here.tempC - (before.tempC + after.tempC) / 2));
  }
  // The median of |x| is 0.6745 sd, and a second difference as above has sqrt(1.5) times the sd of one reading.
  const scatter = second.length > 0 ? median(second) / (0.6745 * Math.sqrt(1.5)) : 0;
  const [first, last] = [samples[0], samples.at(-1)];
  const isSparse = first && last && last.atS - first.atS > SPARSE_S * (samples.length - 1);
  return Math.max(
    NOISE_MIN_C,
    isSparse ? Math.min(scatter, NOISE_SPARSE_C) : scatter,
    Number.isFinite(step) ? Math.min(NOISE_PER_STEP * step, 1) : 0,
  );
}

/** A straight line through samples: value at the newest one and slope. `n` samples were used. */
export type Line = { atS: number; tempC: number; slopeCPerS: number; n: number };

/** Fewer samples than this make no line of their own: scattered readings are taken as they are. */
const LINE_MIN = 4;

/**
 * Least squares through the samples of the last `spanS` seconds. Where there are only a few (hand-logged or sparse),
 * the newest one is the value and the newest two give the slope.
 */
export function lineThroughNewest(samples: readonly Sample[], spanS: number): Line | null {
  const last = samples.at(-1);
  if (!last) return null;
  const from = samples.findIndex(({ atS }) => atS >= last.atS - spanS);
  if (samples.length - from < LINE_MIN) return { ...lineOf(samples.slice(-2), last), tempC: last.tempC };
  return lineOf(samples.slice(from), last);
}

function lineOf(used: readonly Sample[], last: Sample): Line {
  let [sumT, sumY, sumTT, sumTY] = [0, 0, 0, 0];
  for (const { atS, tempC } of used) {
    const t = atS - last.atS;
    sumT += t;
    sumY += tempC;
    sumTT += t * t;
    sumTY += t * tempC;
  }
  const n = used.length;
  const spread = n * sumTT - sumT * sumT;
  if (!(spread > 0)) return { atS: last.atS, tempC: sumY / n, slopeCPerS: 0, n };
  const slopeCPerS = (n * sumTY - sumT * sumY) / spread;
  return { atS: last.atS, tempC: (sumY - slopeCPerS * sumT) / n, slopeCPerS, n };
}

/** Samples thinned to one per bin: mean time, median temperature, and how many stand behind it. */
export type Bin = Sample & { n: number };

export function binned(samples: readonly Sample[], bins: number): Bin[] {
  const [first, last] = [samples[0], samples.at(-1)];
  if (!first || !last) return [];
  const widthS = Math.max((last.atS - first.atS) / bins, 1e-3);
  const groups = new Map<number, Sample[]>();
  for (const sample of samples) {
    const bin = Math.min(Math.floor((sample.atS - first.atS) / widthS), bins - 1);
    const group = groups.get(bin);
    if (group) group.push(sample);
    else groups.set(bin, [sample]);
  }
  return [...groups.values()].map((group) => ({
    atS: group.reduce((sum, { atS }) => sum + atS, 0) / group.length,
    tempC: median(group.map(({ tempC }) => tempC)),
    n: group.length,
  }));
}
