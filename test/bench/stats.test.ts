import { describe, expect, it } from 'vitest';
import { median, quantile } from './stats.ts';

describe('medians and quantiles of the bench', () => {
  // linear between the order statistics: type 7 in R. J. Hyndman and Y. Fan, Sample Quantiles in Statistical Packages,
  // The American Statistician 50 (1996), from memory; worked by hand
  it('lie between the values around them', () => {
    expect(median([3, 1, 2])).toBe(2);
    expect(median([4, 1, 2, 3])).toBe(2.5);
    expect(quantile([10, 20, 30, 40, 50], 0.9)).toBeCloseTo(46, 9);
  });

  it('are no number when there is nothing', () => {
    expect(median([])).toBeNaN();
  });
});
