import type { Reading } from '../contract/reading.ts';
import { median } from './samples.ts';

/** Standard deviation of a normal distribution per median absolute deviation: 1 / (sqrt(2) erfinv(1/2)). */
export const S_PER_MAD = 1.4826;
/** Three neighbours on each side and three S: the usual choice (Hampel filter as in MATLAB and R pracma, read). */
const NEIGHBOURS = 3;
const S_BEYOND = 3;
/** OURS: readings that repeat to the last digit have no scatter; a tenth of a degree is no outlier among them. */
const SCATTER_LEAST_C = 0.2;

export type HampelWindow = {
  /** Values on each side; fewer at the ends. */
  neighbours: number;
  /** An outlier is further from the median than so many S. */
  sBeyond: number;
  /** S is never taken as less than this, in the unit of the values. */
  scatterLeast: number;
};

/** Indices of the values that are outliers among their neighbours. Every value is judged on the values as given. */
export function hampelOutliers(values: readonly number[], window: HampelWindow): number[] {
  const outliers: number[] = [];
  values.forEach((value, i) => {
    const around = values.slice(Math.max(0, i - window.neighbours), i + window.neighbours + 1);
    const leastOff = window.sBeyond * window.scatterLeast;
    if (around.every((other) => Math.abs(other - value) <= leastOff)) return;
    const middle = median(around);
    const scatter = S_PER_MAD * median(around.map((other) => Math.abs(other - middle)));
    if (Math.abs(value - middle) > window.sBeyond * Math.max(scatter, window.scatterLeast)) outliers.push(i);
  });
  return outliers;
}

/**
 * Readings without single spikes, for a forecast or a chart and never for a limit: failed and missing ones (4, 9) and Hampel
 * outliers are left out. A real step stays, all but its newest reading: at the end there is nothing after it yet.
 *
 * @param readings ascending in time, degC
 */
export function despiked(readings: readonly Reading[]): Reading[] {
  const said = readings.filter(({ quality, tempC }) => quality < 4 && Number.isFinite(tempC));
  const outliers = hampelOutliers(
    said.map(({ tempC }) => tempC),
    { neighbours: NEIGHBOURS, sBeyond: S_BEYOND, scatterLeast: SCATTER_LEAST_C },
  );
  if (outliers.length === 0) return said;
  const isOutlier = new Set(outliers);
  return said.filter((_, i) => !isOutlier.has(i));
}
