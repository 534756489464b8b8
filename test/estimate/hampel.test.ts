import { describe, expect, it } from 'vitest';
import type { Quality, Reading } from '../../server/contract/reading.ts';
import { despiked, hampelOutliers, S_PER_MAD } from '../../server/estimate/hampel.ts';

const usual = { neighbours: 3, sBeyond: 3, scatterLeast: 0 };
const repeated = (value: number, count: number): number[] => Array<number>(count).fill(value);
const readings = (...temperatures: readonly number[]): Reading[] =>
  temperatures.map((tempC, i) => ({ atMs: i * 5_000, tempC, quality: 1 }));

/**
 * Definition: MathWorks "hampel", Algorithms: x is an outlier when |x - median| > n * 1.4826 * MAD of the window; the answers
 * follow from it and were also worked out by a second program.
 */
describe('the Hampel filter', () => {
  it('finds the one spike in a slope', () => {
    expect(hampelOutliers([60, 60.2, 60.4, 60.6, 85, 61, 61.2, 61.4, 61.6], usual)).toEqual([4]);
  });

  it('takes a tenth of a degree among repeats for an outlier only without a floor', () => {
    const values = [...repeated(20, 4), 20.1, ...repeated(20, 4)];
    expect(hampelOutliers(values, usual)).toEqual([4]);
    expect(hampelOutliers(values, { ...usual, scatterLeast: 0.2 })).toEqual([]);
  });

  it('leaves a true step alone', () => {
    expect(hampelOutliers([...repeated(110, 4), ...repeated(95, 5)], usual)).toEqual([]);
  });

  it('finds a spike of two', () => {
    const values = [60, 60.1, 60.2, 85, 85.1, 60.3, 60.4, 60.5, 60.6];
    expect(hampelOutliers(values, usual)).toEqual([3, 4]);
  });

  it('has the scale of a normal distribution: its middle half lies within 0.6745 standard deviations', () => {
    // quartile of the standard normal distribution: 0.67449, any table of it
    expect(S_PER_MAD).toBeCloseTo(1 / 0.67449, 4);
  });
});

describe('readings for a forecast', () => {
  it('lose spikes and keep steps', () => {
    expect(despiked(readings(60, 60.1, 60.3, 85, 60.5, 60.6, 60.8)).map((r) => r.tempC)).toEqual([
      60, 60.1, 60.3, 60.5, 60.6, 60.8,
    ]);
    const step = readings(...repeated(60, 6), ...repeated(45, 6));
    expect(despiked(step)).toEqual(step);
  });

  it('keep every reading of food that heats, at 1 and at 16 degC a minute', () => {
    for (const cPerMin of [1, 16]) {
      const rise = readings(
        ...Array.from({ length: 200 }, (_, i) => Math.round(50 + (cPerMin * i * 50) / 60) / 10),
      );
      expect(despiked(rise)).toEqual(rise);
    }
  });

  it('are without what failed or is missing, and keep what is only suspect', () => {
    const row = ([1, 2, 3, 4, 9] as Quality[]).map((quality, i) => ({ atMs: i, tempC: 60, quality }));
    expect(despiked(row).map((r) => r.quality)).toEqual([1, 2, 3]);
    expect(despiked(readings(60, NaN, 60))).toHaveLength(2);
  });
});
