import { describe, expect, it } from 'vitest';
import { tenQuantilesMs } from '../../server/estimate/quantiles.ts';

describe('drawn waits', () => {
  it('become ten moments in order, with "never" at the end', () => {
    const waits = [600, 100, 200, 300, 400, 500, Infinity, Infinity, Number.NaN, 700];
    const ms = tenQuantilesMs(waits, 1000, 0);
    // Each point is the mean of a tenth of the chances: within a tenth of a step of the draws themselves.
    [100, 200, 300, 400, 500, 600, 700].forEach((wait, i) =>
      expect(Math.abs(ms[i]! - 1000 * (wait + 1))).toBeLessThan(15_000),
    );
    expect(ms.slice(0, 7)).toEqual(ms.slice(0, 7).toSorted((a, b) => a! - b!));
    expect(ms.slice(7)).toEqual([null, null, null]);
    expect(tenQuantilesMs([5, 5], 1000, 20_000)).toEqual(Array.from({ length: 10 }, () => 20_000));
  });

  it('move a point little when one draw crosses a gap', () => {
    const near = (n: number): number[] => Array.from({ length: n }, (_, i) => 100 + i);
    const far = (n: number): number[] => Array.from({ length: n }, (_, i) => 400 + i);
    const middle = (n: number): number => {
      const ms = tenQuantilesMs([...near(n), ...far(80 - n)], 0, 0);
      return (ms[4]! + ms[5]!) / 2;
    };
    for (let n = 34; n < 46; n += 1) expect(middle(n) / middle(n + 1)).toBeLessThan(1.25);
  });
});
