import { describe, expect, it } from 'vitest';
import { normalPoints, normalQuantile } from '../../server/estimate/normal.ts';

describe('draws', () => {
  it('match the normal distribution where tables give it', () => {
    // 1.2816 at 90 %, 1.6449 at 95 %, 1.9600 at 97.5 % (any statistical table).
    expect(normalQuantile(0.9)).toBeCloseTo(1.2816, 3);
    expect(normalQuantile(0.05)).toBeCloseTo(-1.6449, 3);
    expect(normalQuantile(0.975)).toBeCloseTo(1.96, 3);
    expect(() => normalQuantile(0)).toThrow(RangeError);
  });

  it('have mean 0 and variance near 1 in every dimension, without correlation', () => {
    const points = normalPoints(80, 14);
    const mean = (f: (p: number[]) => number): number =>
      points.reduce((sum, p) => sum + f(p), 0) / points.length;
    for (let i = 0; i < 14; i += 1) {
      expect(Math.abs(mean((p) => p[i]!))).toBeLessThan(0.01);
      expect(Math.abs(mean((p) => p[i]! ** 2) - 1)).toBeLessThan(0.05);
      for (let j = 0; j < i; j += 1) expect(Math.abs(mean((p) => p[i]! * p[j]!))).toBeLessThan(0.16);
    }
  });
});
