import { describe, expect, it } from 'vitest';
import { normalPoints } from '../../server/estimate/normal.ts';
import { binned, noiseC, usableSamples, withoutSpikes } from '../../server/estimate/samples.ts';

describe('readings', () => {
  it('are dropped when failed, missing, not finite, repeated or from the future', () => {
    const rows = [
      { atMs: 1000, tempC: 5, quality: 1 as const },
      { atMs: 1000, tempC: 6, quality: 1 as const },
      { atMs: 2000, tempC: 7, quality: 4 as const },
      { atMs: 3000, tempC: 8, quality: 9 as const },
      { atMs: 4000, tempC: Number.NaN, quality: 1 as const },
      { atMs: 5000, tempC: 9, quality: 3 as const },
      { atMs: 9000, tempC: 10, quality: 1 as const },
    ];
    expect(usableSamples(rows, 1000, 8000)).toEqual([
      { atS: 0, tempC: 5 },
      { atS: 4, tempC: 9 },
    ]);
  });

  it('lose a single spike and keep a slope', () => {
    const ramp = Array.from({ length: 9 }, (_, i) => ({ atS: i, tempC: i }));
    expect(withoutSpikes(ramp)).toEqual(ramp);
    const spiked = ramp.map((sample, i) => (i === 4 ? { ...sample, tempC: 80 } : sample));
    expect(withoutSpikes(spiked)[4]!.tempC).toBe(5);
  });

  it('tell their own scatter within a third, and at least what their display hides', () => {
    const noisy = normalPoints(400, 1).map(([z], i) => ({
      atS: 5 * i,
      tempC: 20 + 0.01 * i + 0.5 * z!,
      key: z!,
    }));
    // A spread order: neighbours of an even sequence are far apart, like real noise.
    expect(noiseC(noisy)).toBeGreaterThan(0.3);
    expect(noiseC(noisy)).toBeLessThan(0.9);
    const coarse = Array.from({ length: 60 }, (_, i) => ({ atS: 5 * i, tempC: Math.round(i / 10) }));
    expect(noiseC(coarse)).toBeGreaterThanOrEqual(1 / Math.sqrt(12));
  });

  it('are thinned to means of time and medians of temperature', () => {
    const many = Array.from({ length: 1000 }, (_, i) => ({ atS: i, tempC: i / 10 }));
    const bins = binned(many, 10);
    expect(bins).toHaveLength(10);
    expect(bins.reduce((sum, { n }) => sum + n, 0)).toBe(1000);
    expect(bins[0]!.tempC).toBeCloseTo(bins[0]!.atS / 10, 6);
  });
});
