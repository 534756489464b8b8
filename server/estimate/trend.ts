import { median } from './samples.ts';
import type { Bin } from './samples.ts';

/** A line that a minority of outliers does not bend. */
export type Trend = {
  /** At the newest bin, from the newer half: a hold bends, and its older half would pull the level off. */
  levelC: number;
  /** At the middle of the window, which is where its slope belongs. */
  middleC: number;
  slopeCPerMin: number;
  slopeSdCPerMin: number;
};

/**
 * Median of all pairwise slopes (Theil 1950, Sen 1968, from memory): up to 29 % of the bins may be spikes.
 * @param bins two or more, at different times, seconds
 * @param noiseC scatter of one reading, degC
 */
export function robustLine(bins: readonly Bin[], noiseC: number): Trend {
  const last = bins.at(-1);
  if (!last) throw new RangeError('bins: expected two or more, got none');
  const slopes: number[] = [];
  bins.forEach((a, i) => {
    for (const b of bins.slice(i + 1)) slopes.push((b.tempC - a.tempC) / (b.atS - a.atS));
  });
  const slope = slopes.length > 0 ? median(slopes) : 0;
  const residuals = bins.map(({ atS, tempC }) => tempC - slope * (atS - last.atS));
  const typicalC = median(residuals);
  const scatterC = 1.4826 * median(residuals.map((r) => Math.abs(r - typicalC)));
  const meanS = bins.reduce((sum, { atS }) => sum + atS, 0) / bins.length;
  const spreadS = Math.sqrt(bins.reduce((sum, { atS }) => sum + (atS - meanS) ** 2, 0));
  const oneC = Math.max(scatterC, noiseC / Math.sqrt(median(bins.map(({ n }) => n))));
  return {
    levelC: median(residuals.slice(Math.floor(residuals.length / 2))),
    middleC: typicalC + slope * (meanS - last.atS),
    slopeCPerMin: 60 * slope,
    slopeSdCPerMin: (60 * oneC) / spreadS,
  };
}
