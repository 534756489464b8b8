import { describe, expect, it } from 'vitest';
import { courseOf } from '../../server/estimate/course.ts';
import { ON_MS } from './questions.ts';

describe('the course of a batch', () => {
  it('believes the zone sensor in part, and not at all when it cannot be a fire', () => {
    const excess = (zoneC: number | null): number =>
      courseOf({
        nowMs: ON_MS,
        events: [{ atMs: ON_MS, step: 'on', zone: 'hot' }],
        zone: 'hot',
        zoneC,
        turnPlan: { kind: 'none' },
        startC: 5,
      })!.stays[0]!.excessC;
    expect(excess(300)).toBeGreaterThan(excess(null));
    expect(excess(300)).toBeLessThan(295);
    expect(excess(20)).toBe(excess(null));
    expect(excess(Number.NaN)).toBe(excess(null));
    expect(excess(1000)).toBe(excess(null));
  });

  it('does not take the evening under an open lid for a weak fire', () => {
    const excess = (zoneC: number | null, afterS: number): number =>
      courseOf({
        nowMs: ON_MS + 660_000 + afterS * 1000,
        events: [
          { atMs: ON_MS, step: 'on', zone: 'gentle' },
          { atMs: ON_MS + 600_000, step: 'lid-opened', zone: null },
          { atMs: ON_MS + 660_000, step: 'lid-closed', zone: null },
        ],
        zone: 'gentle',
        zoneC,
        turnPlan: { kind: 'none' },
        startC: 5,
      })!.stays[0]!.excessC;
    expect(excess(80, 100)).toBe(excess(null, 100));
    expect(excess(80, 400)).toBeLessThan(excess(null, 400));
  });
});
