import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Reading } from '../../server/contract/reading.ts';
import { bucketed, gapsIn, usable } from '../../server/review/intervals.ts';

const at = (s: number, tempC = 4, quality: Reading['quality'] = 1): Reading => ({
  atMs: s * 1_000,
  tempC,
  quality,
});

describe('a trace of the record', () => {
  it('keeps the lowest, the highest and the last reading, in no more points than asked for', () => {
    const readings = fc.array(fc.double({ min: -30, max: 130, noNaN: true }), {
      minLength: 1,
      maxLength: 300,
    });
    fc.assert(
      fc.property(readings, fc.integer({ min: 1, max: 50 }), (temps, points) => {
        const buckets = bucketed(
          temps.map((t, i) => at(i, t)),
          points,
        );
        expect(buckets.length).toBeLessThanOrEqual(points);
        expect(Math.min(...buckets.map((b) => b[1]))).toBe(Math.min(...temps));
        expect(Math.max(...buckets.map((b) => b[2]))).toBe(Math.max(...temps));
        expect(buckets.at(-1)?.[3]).toBe(temps.at(-1));
      }),
    );
  });

  it('tells gaps inside and at both ends', () => {
    const readings = [10, 20, 30, 130, 140].map((s) => at(s));
    expect(gapsIn(readings, { fromMs: -100_000, toMs: 300_000 }, 60_000)).toEqual([
      [-100_000, 10_000],
      [30_000, 130_000],
      [140_000, 300_000],
    ]);
    expect(gapsIn([], { fromMs: 0, toMs: 100_000 }, 60_000)).toEqual([[0, 100_000]]);
  });

  it('leaves out failed and missing readings', () => {
    expect(usable([at(0), at(1, 4, 3), at(2, 4, 4), at(3, 4, 9), at(4, NaN)]).map((r) => r.atMs)).toEqual([
      0, 1_000,
    ]);
  });

  it('refuses a number of points that cannot be', () => {
    expect(() => bucketed([at(0)], 0)).toThrow(RangeError);
  });
});
