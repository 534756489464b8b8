import { describe, expect, it } from 'vitest';
import { heardSinceMs, silence, silentAfterMs, typicalIntervalMs } from '../../server/safety/silence.ts';
import { atS, sampled, trace } from './trace.ts';

describe('how long without a reading is a silence', () => {
  it.each([
    [5_000, 60_000],
    [20_000, 60_000],
    [20_001, 60_003],
    [60_000, 180_000],
  ])('a probe that sends every %d ms is silent after %d ms', (intervalMs, expectedMs) => {
    expect(silentAfterMs(intervalMs)).toBe(expectedMs);
  });

  it.each([null, NaN, 0, -1000, Infinity])('an interval of %s leaves it at one minute', (intervalMs) => {
    expect(silentAfterMs(intervalMs)).toBe(60_000);
  });
});

describe('how often a probe sends', () => {
  it('is the middle of its last twenty gaps', () => {
    const slowThenFast = [
      ...sampled({ fromS: 0, toS: 600, stepS: 60 }, () => 4),
      ...sampled({ fromS: 610, toS: 810, stepS: 10 }, () => 4),
    ];
    expect(typicalIntervalMs(slowThenFast)).toBe(10_000);
  });

  it('is not moved by an outage', () => {
    const outage = [
      ...sampled({ fromS: 0, toS: 50, stepS: 10 }, () => 4),
      ...sampled({ fromS: 3650, toS: 3700, stepS: 10 }, () => 4),
    ];
    expect(typicalIntervalMs(outage)).toBe(10_000);
  });

  it('lies between the two middle gaps of an even number', () => {
    expect(typicalIntervalMs(trace([0, 4], [10, 4], [30, 4]))).toBe(15_000);
  });

  it('is not known before the second reading', () => {
    expect(typicalIntervalMs([])).toBeNull();
    expect(typicalIntervalMs(trace([0, 4]))).toBeNull();
  });

  it('does not count readings of the same moment or times that are no number', () => {
    expect(typicalIntervalMs(trace([0, 4], [0, 5], [10, 4]))).toBe(10_000);
    expect(typicalIntervalMs(trace([NaN, 4], [NaN, 4]))).toBeNull();
  });
});

describe('silence', () => {
  const at = (lastS: number, nowS: number, intervalMs: number | null = 10_000) =>
    silence({ lastAtMs: atS(lastS), nowMs: atS(nowS), intervalMs });

  it('begins after the limit, not at it, and dates from the last reading', () => {
    expect(at(0, 60)).toEqual({ silent: false, sinceMs: null });
    expect(at(0, 60.001)).toEqual({ silent: true, sinceMs: atS(0) });
  });

  it('holds for a probe that was never heard', () => {
    expect(silence({ lastAtMs: null, nowMs: atS(0), intervalMs: null })).toEqual({
      silent: true,
      sinceMs: null,
    });
  });

  it('lets a clock be a few seconds ahead', () => {
    expect(at(5, 0).silent).toBe(false);
  });

  it('does not take a reading from the future for fresh for ever', () => {
    expect(at(3600, 0)).toEqual({ silent: true, sinceMs: null });
    expect(at(5.001, 0).silent).toBe(true);
  });

  it('holds where a time is no number', () => {
    expect(at(NaN, 0).silent).toBe(true);
    expect(at(0, NaN).silent).toBe(true);
  });
});

describe('since when a probe has been heard without a break', () => {
  it('is the first reading after the last silence', () => {
    const readings = trace([0, 4], [10, 4], [200, 4], [210, 4], [220, 4]);
    expect(heardSinceMs(readings, 60_000)).toBe(atS(200));
  });

  it('is the first reading where there was no silence, and nothing where there was no reading', () => {
    expect(heardSinceMs(trace([0, 4], [60, 4]), 60_000)).toBe(atS(0));
    expect(heardSinceMs([], 60_000)).toBeNull();
  });
});
