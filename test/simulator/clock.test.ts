import { describe, expect, it } from 'vitest';
import { createClock, simulatedMs } from '../../simulator/clock.ts';

describe('the simulated clock', () => {
  const origin = { originRealMs: 1_000_000, originSimMs: 1_760_000_000_000 };
  it('stands at its origin when it begins', () => {
    expect(simulatedMs({ ...origin, speed: 30 }, 1_000_000)).toBe(1_760_000_000_000);
  });
  it('runs as many times as fast as its speed says', () => {
    expect(simulatedMs({ ...origin, speed: 30 }, 1_002_000)).toBe(1_760_000_060_000);
    expect(simulatedMs({ ...origin, speed: 0.5 }, 1_002_000)).toBe(1_760_000_001_000);
  });
  it('tells whole milliseconds', () => {
    let realMs = 1_000_000.4;
    const clock = createClock({ ...origin, speed: 1.7 }, () => realMs);
    expect(Number.isInteger(clock.nowMs())).toBe(true);
    realMs += 333.3;
    expect(Number.isInteger(clock.nowMs())).toBe(true);
  });
  it.each([0, -1, Number.NaN, Infinity])('refuses a speed of %f', (speed) => {
    expect(() => createClock({ ...origin, speed }, () => 0)).toThrow(/speed/);
  });
});
