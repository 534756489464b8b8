import { describe, expect, it } from 'vitest';
import {
  aggregate,
  flatLine,
  grossFlag,
  grossRange,
  rateOfChange,
  spike,
} from '../../../server/ingest/gate/qartod.ts';

/** Arrays and answers: the tests of ioos_qc, tests/test_qartod.py, the public implementation of U.S. IOOS QARTOD. */
const every = (seconds: number, count: number): number[] =>
  Array.from({ length: count }, (_, i) => i * seconds);

describe('QARTOD', () => {
  it('gross range: outside the sensor span fails, outside the expected span is suspect', () => {
    expect(
      grossRange([5, 10, 15, 20, 25, 30, 35, 40, 45, 51], { fail: [10, 50], suspect: [20, 40] }),
    ).toEqual([4, 3, 3, 1, 1, 1, 1, 1, 3, 4]);
    expect(grossRange([null, 25], { fail: [10, 50], suspect: [20, 40] })).toEqual([9, 1]);
  });

  it('gross range: what is no number fails', () => {
    for (const value of [NaN, Infinity, -Infinity]) {
      expect(grossFlag(value, { fail: [10, 50], suspect: [20, 40] })).toBe(4);
    }
  });

  it('spike: against the mean of the neighbours; ends and neighbours of a gap are not evaluated', () => {
    const limits = { suspect: 25, fail: 50 };
    expect(spike([10, 12, 999.99, 13, 15, 40, 9, 9], limits)).toEqual([2, 4, 4, 4, 1, 3, 1, 2]);
    expect(spike([10, 12, 999.99, 13, 15, 40, 9, 9, null, 10, 10, 999.99, 10, null], limits)).toEqual([
      2, 4, 4, 4, 1, 3, 1, 2, 9, 2, 4, 4, 2, 9,
    ]);
    expect(spike([-100, -99, -99, -98], limits)).toEqual([2, 1, 1, 2]);
  });

  it('rate of change: more than the threshold since the value before is suspect', () => {
    const values = [2, 10, 2.1, 3, 4, 5, 7, 10, 0, 2, 2.2, 2, 1, 2, 3, 90, 91, 92, 93, 1, 2, 3, 4, 5];
    expect(rateOfChange(values, every(900, values.length), 5 / 900)).toEqual([
      1, 3, 3, 1, 1, 1, 1, 1, 3, 1, 1, 1, 1, 1, 1, 3, 1, 1, 1, 3, 1, 1, 1, 1,
    ]);
  });

  it('flat line: a window that stays within the tolerance is suspect, a longer one fails', () => {
    const values = [1, 2, 2.0001, 2, 2.0001, 2, 2.0001, 2, 4, 5, 3, 3.0001, 3.0005, 3.00001];
    expect(flatLine(values, 900, { suspectS: 3000, failS: 4800, tolerance: 0.01 })).toEqual([
      1, 1, 1, 1, 3, 3, 4, 4, 1, 1, 1, 1, 1, 3,
    ]);
  });

  it('aggregate: fail before suspect before good before not evaluated before missing', () => {
    const cases = [
      [[1, 2], 1],
      [[1, 3], 3],
      [[9, 1], 1],
      [[3, 4, 1], 4],
      [[2, 9], 2],
    ] as const;
    for (const [flags, expected] of cases) expect(aggregate(flags)).toBe(expected);
  });
});
