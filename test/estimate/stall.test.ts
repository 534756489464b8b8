import { describe, expect, it } from 'vitest';
import { forecastCook } from '../../server/estimate/forecast.ts';
import type { CookQuestion } from '../../server/estimate/types.ts';
import { ON_MS, question, readings } from './questions.ts';

/**
 * A shoulder as modelled in the literature's manner (wetness 0.12 until 4 h): 58 degC at 3 h, 63 at 4 h, 66 at 5 h
 * (computed). Straight pieces through those points, 6 degC at the start.
 */
function shoulder(atS: number): number {
  const points = [
    [0, 6],
    [1800, 9],
    [3600, 25],
    [7200, 47],
    [10_800, 60],
    [14_400, 64],
    [18_000, 66],
    [21_600, 67.5],
  ] as const;
  const i = Math.max(
    points.findLastIndex(([s]) => s <= atS),
    0,
  );
  const [from, to] = [points[i]!, points[Math.min(i + 1, points.length - 1)]!];
  return to[0] === from[0] ? to[1] : from[1] + ((to[1] - from[1]) * (atS - from[0])) / (to[0] - from[0]);
}

function joint(nowS: number, changes: Partial<CookQuestion> = {}): CookQuestion {
  return question(nowS, {
    food: 'pork',
    shape: 'cylinder',
    thicknessMm: 110,
    targetC: 93,
    turnPlan: { kind: 'none' },
    zone: 'indirect',
    events: [{ atMs: ON_MS, step: 'on', zone: 'indirect' }],
    readings: readings(shoulder, { untilS: nowS, everyS: 10 }),
    ...changes,
  });
}

describe('a joint that stalls', () => {
  it('gets no forecast while evaporation takes the heat, and is told since when', () => {
    const forecast = forecastCook(joint(18_000));
    expect(forecast).toMatchObject({ kind: 'none', reason: 'stalled' });
    if (forecast.kind === 'none') {
      expect(forecast.sinceMs!).toBeGreaterThan(ON_MS + 9000_000);
      expect(forecast.sinceMs!).toBeLessThanOrEqual(ON_MS + 16_000_000);
    }
  });

  it('is not called stalled while it still rises well', () => {
    expect(forecastCook(joint(7200))).not.toMatchObject({ reason: 'stalled' });
  });

  it('is not called stalled just below its target', () => {
    expect(forecastCook(joint(18_000, { targetC: 69 }))).not.toMatchObject({ reason: 'stalled' });
  });

  it('is not called stalled right after a move: that is what slows it', () => {
    const events = [
      { atMs: ON_MS, step: 'on' as const, zone: 'medium' as const },
      { atMs: ON_MS + 17_400_000, step: 'moved' as const, zone: 'indirect' as const },
    ];
    expect(forecastCook(joint(18_000, { events }))).not.toMatchObject({ reason: 'stalled' });
  });
});
