import { describe, expect, it } from 'vitest';
import { Pace } from '../../server/broker/pace.ts';

describe('the pace of a client', () => {
  it('lets a burst pass at once and then asks to wait as long as what is owed takes', () => {
    const pace = new Pace({ perS: 5_000, burst: 10_000, nowMono: 0 });
    expect(pace.spend(10_000, 0)).toBe(0);
    expect(pace.spend(500, 0)).toBe(100);
    expect(pace.spend(500, 100)).toBe(100);
  });

  it('never asks who stays at the sustained rate to wait', () => {
    const pace = new Pace({ perS: 5_000, burst: 10_000, nowMono: 0 });
    const waits = Array.from({ length: 10_000 }, (_, i) => pace.spend(50, (i + 1) * 10));
    expect(Math.max(...waits)).toBe(0);
  });

  it('brings whoever sends twice as much down to the sustained rate', () => {
    const pace = new Pace({ perS: 5_000, burst: 10_000, nowMono: 0 });
    let nowMs = 0;
    let sent = 0;
    while (nowMs < 60_000) {
      const waitMs = pace.spend(100, nowMs);
      sent += 100;
      nowMs += Math.max(10, waitMs);
    }
    expect((sent - 10_000) / (nowMs / 1_000)).toBeCloseTo(5_000, -2);
  });

  it('saves up no more than the burst in a long silence', () => {
    const pace = new Pace({ perS: 5_000, burst: 10_000, nowMono: 0 });
    pace.spend(10_000, 0);
    expect(pace.spend(10_001, 3_600_000)).toBeCloseTo(0.2);
  });
});
