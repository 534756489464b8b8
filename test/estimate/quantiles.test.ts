import { describe, expect, it } from 'vitest';
import { tenQuantilesMs } from '../../server/estimate/quantiles.ts';

describe('drawn waits', () => {
  it('become ten moments in order, with "never" at the end', () => {
    const waits = [60, 10, 20, 30, 40, 50, Infinity, Infinity, Number.NaN, 70];
    const ms = tenQuantilesMs(waits, 1000, 0);
    expect(ms.slice(0, 7)).toEqual([11_000, 21_000, 31_000, 41_000, 51_000, 61_000, 71_000]);
    expect(ms.slice(7)).toEqual([null, null, null]);
    expect(tenQuantilesMs([5, 5], 1000, 20_000)).toEqual(Array.from({ length: 10 }, () => 20_000));
  });
});
