import { describe, expect, it } from 'vitest';
import { SERIES_POINTS_MAX, clockTicks, traceSeries } from '../../web/charts/trace-data.ts';
import type { ChartPoint } from '../../web/charts/trace-data.ts';
import { COLD_LIMIT, CORE_LIMIT, FIVE_PM_MS, HOT_LIMIT, MIN_MS, aTrace } from '../support/plans.ts';

/** Whether a drawn line passes over a moment: two neighbours, both drawn, on either side of it. */
function isDrawnAcross(line: readonly ChartPoint[], x: number): boolean {
  return line.some((to, index) => {
    const from = line[index - 1];
    if (from === undefined || Number.isNaN(from.y) || Number.isNaN(to.y)) return false;
    return from.x < x && to.x > x;
  });
}
const heights = (line: readonly ChartPoint[]): number[] =>
  line.map(({ y }) => y).filter((y) => !Number.isNaN(y));

describe('the line of a record chart', () => {
  it('never bridges a gap', () => {
    const trace = aTrace({
      valuesC: [4, 4, 4, 5, 5],
      gaps: [[FIVE_PM_MS + 2 * MIN_MS + 1, FIVE_PM_MS + 3 * MIN_MS - 1]],
    });
    const { line, gaps } = traceSeries(trace);
    expect(isDrawnAcross(line, 1.5)).toBe(true);
    expect(isDrawnAcross(line, 2.5)).toBe(false);
    expect(gaps[0]?.[0]).toBeCloseTo(2, 3);
  });

  it('does not bridge a gap either when it has to be thinned', () => {
    const valuesC = Array.from({ length: 3000 }, (_, index) => 4 + Math.sin(index));
    const gaps: [number, number][] = [[FIVE_PM_MS + 1200.2 * MIN_MS, FIVE_PM_MS + 1200.8 * MIN_MS]];
    const { line } = traceSeries(aTrace({ valuesC, gaps }));
    expect(isDrawnAcross(line, 1200.5)).toBe(false);
    expect(isDrawnAcross(line, 2000.5)).toBe(true);
  });

  it('has at most 400 points, and keeps the one high point of a long evening', () => {
    const valuesC = Array.from({ length: 5000 }, (_, index) => (index === 2718 ? 9.3 : 4 + (index % 7) / 10));
    const { line, outside } = traceSeries(aTrace({ valuesC }));
    expect(line.length).toBeLessThanOrEqual(SERIES_POINTS_MAX);
    expect(outside.length).toBeLessThanOrEqual(SERIES_POINTS_MAX);
    expect(Math.max(...heights(line))).toBe(9.3);
    expect(Math.max(...heights(outside))).toBe(9.3);
  });

  it('is drawn through the lowest and the highest of every bucket', () => {
    const trace = aTrace({
      points: [
        [FIVE_PM_MS, 3, 7, 4],
        [FIVE_PM_MS + MIN_MS, 2, 5, 5],
      ],
    });
    expect(heights(traceSeries(trace).line)).toEqual([7, 3, 2, 5]);
  });

  it('takes the value nearer to breaking the limit where the two cannot be seen apart', () => {
    const points: [number, number, number, number][] = [[FIVE_PM_MS, 7.99, 8.01, 7.99]];
    expect(heights(traceSeries(aTrace({ points, limit: COLD_LIMIT })).outside)).toEqual([8.01]);
    expect(heights(traceSeries(aTrace({ points, limit: { ...HOT_LIMIT, valueC: 8 } })).outside)).toEqual([
      7.99,
    ]);
  });

  it('stands between round levels', () => {
    const { minY, maxY, stepY } = traceSeries(
      aTrace({ valuesC: [5.8, 79.3], limit: CORE_LIMIT, targetC: 75 }),
    );
    expect([minY, maxY, stepY]).toEqual([0, 100, 20]);
  });

  it('is empty when nothing was read', () => {
    const { line, outside } = traceSeries(aTrace({ valuesC: [] }));
    expect([line, outside]).toEqual([[], []]);
  });

  it('has room for limit and target', () => {
    const { minY, maxY } = traceSeries(aTrace({ valuesC: [20, 30], limit: CORE_LIMIT, targetC: 93 }));
    expect(minY).toBeLessThan(20);
    expect(maxY).toBeGreaterThan(93);
  });
});

describe('the heavy line', () => {
  it('is drawn only beyond the limit, and starts where the line crosses it', () => {
    const { outside } = traceSeries(aTrace({ valuesC: [7, 9, 9, 7], limit: COLD_LIMIT }));
    expect(heights(outside)).toEqual([8, 9, 9, 8]);
    expect(outside.slice(0, 4).map(({ x }) => x)).toEqual([0.5, 1, 2, 2.5]);
  });

  // "8 degC or colder": a reading of exactly 8 is within (Food Safety and Hygiene (England) Regulations 2013, schedule 4
  // paragraph 2, where the offence is food kept above 8 degC).
  it('is not drawn for a reading exactly at the limit', () => {
    expect(heights(traceSeries(aTrace({ valuesC: [8, 8, 8], limit: COLD_LIMIT })).outside)).toEqual([]);
    expect(heights(traceSeries(aTrace({ valuesC: [63, 63], limit: HOT_LIMIT })).outside)).toEqual([]);
  });

  it('is drawn below a limit that must not be fallen short of', () => {
    expect(heights(traceSeries(aTrace({ valuesC: [62, 61], limit: HOT_LIMIT })).outside)).toEqual([62, 61]);
  });

  it('does not cross a gap', () => {
    const gaps: [number, number][] = [[FIVE_PM_MS + 1, FIVE_PM_MS + MIN_MS - 1]];
    const { outside } = traceSeries(aTrace({ valuesC: [9, 9, 9], gaps, limit: COLD_LIMIT }));
    expect(isDrawnAcross(outside, 0.5)).toBe(false);
    expect(isDrawnAcross(outside, 1.5)).toBe(true);
  });

  it('is never drawn for a core limit, which is reached once and not kept', () => {
    expect(heights(traceSeries(aTrace({ valuesC: [5, 75], limit: CORE_LIMIT })).outside)).toEqual([]);
  });
});

describe('the time axis', () => {
  it('has its ticks at round clock times of the place', () => {
    const fromMs = FIVE_PM_MS + 7 * MIN_MS;
    const ticks = clockTicks({ fromMs, toMs: fromMs + 180 * MIN_MS, offsetMs: 60 * MIN_MS }, 4);
    expect(ticks).toEqual([53, 113, 173]);
  });

  it('is round on the local clock, not on that of Greenwich', () => {
    // IANA time zone database, zone Asia/Kathmandu: UTC+5:45 (from memory).
    const ticks = clockTicks(
      { fromMs: FIVE_PM_MS, toMs: FIVE_PM_MS + 60 * MIN_MS, offsetMs: 345 * MIN_MS },
      2,
    );
    expect(ticks).toEqual([15, 45]);
  });
});
