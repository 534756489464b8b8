import { describe, expect, it } from 'vitest';
import { REASON, type Reading } from '../../server/contract/reading.ts';
import { judgeCheck, readingForCheck } from '../../server/safety/probe-check.ts';

const NOW_MS = 1_760_000_000_000;

describe('a check of a probe', () => {
  // -1 to +1 degC in ice water passes: Centre for Food Safety, Hong Kong, on food thermometers
  it.each([
    [-1, 'passed'],
    [1, 'passed'],
    [0, 'passed'],
    [1.1, 'failed'],
    [-1.1, 'failed'],
    [1.01, 'failed'],
  ])('in ice water at %d °C has %s', (readC, outcome) => {
    expect(judgeCheck({ kind: 'ice', readC, altitudeM: null })).toMatchObject({ outcome, expectedC: 0 });
  });

  // 99 to 101 degC at sea level passes: the same source; moved with the height by IF97 and ISO 2533:1975 (94.90 degC at 1,524 m)
  it.each([
    [0, 99, 'passed'],
    [0, 100.9, 'passed'],
    [0, 98.9, 'failed'],
    [0, 101.1, 'failed'],
    [1524, 95.2, 'passed'],
    [1524, 93.95, 'passed'],
    [1524, 93.85, 'failed'],
    [1524, 95.95, 'failed'],
    [1524, 100, 'failed'],
    [3000, 100, 'failed'],
  ])('in boiling water %d m up at %d °C has %s', (altitudeM, readC, outcome) => {
    expect(judgeCheck({ kind: 'boil', readC, altitudeM })).toMatchObject({ outcome, windowC: 1, altitudeM });
  });

  it('is not spoilt by the last bit of a sum of hundredths', () => {
    expect(judgeCheck({ kind: 'ice', readC: 1 + 2 ** -50, altitudeM: null })).toMatchObject({
      outcome: 'passed',
    });
  });

  it('keeps no height for ice', () => {
    expect(judgeCheck({ kind: 'ice', readC: 0, altitudeM: 800 })).toMatchObject({ altitudeM: null });
  });

  it('cannot be judged without a temperature, or boiling without a height', () => {
    for (const readC of [NaN, Infinity, -Infinity])
      expect(judgeCheck({ kind: 'ice', readC, altitudeM: null }).kind).toBe('cannot');
    for (const altitudeM of [null, NaN])
      expect(judgeCheck({ kind: 'boil', readC: 99.9, altitudeM }).kind).toBe('cannot');
  });
});

/** Values `everyS` seconds apart, the last of them now. */
function row(valuesC: readonly number[], everyS = 10): Reading[] {
  const firstMs = NOW_MS - (valuesC.length - 1) * everyS * 1000;
  return valuesC.map((tempC, i) => ({ atMs: firstMs + i * everyS * 1000, tempC, quality: 1 }));
}
const take = (readings: readonly Reading[], over: { nowMs?: number; newestReasons?: number } = {}) =>
  readingForCheck({ readings, newestReasons: 0, nowMs: NOW_MS, ...over });
const whyOf = (taken: ReturnType<typeof take>): string => (taken.kind === 'cannot' ? taken.why : '');
const still = Array<number>(8).fill(0.2);

describe('the reading that a check takes', () => {
  it('is the newest when the probe has stood still for a minute', () => {
    expect(take(row([20, 9, 3, 1, 0.5, 0.3, 0.4, 0.3, 0.3, 0.3, 0.2]))).toEqual({
      kind: 'steady',
      reading: { atMs: NOW_MS, tempC: 0.2, quality: 1 },
    });
  });

  it('is not taken while it moves by more than 0.3 °C in a minute', () => {
    expect(take(row([0.5, 0.5, 0.4, 0.4, 0.3, 0.3, 0.2]))).toMatchObject({ kind: 'steady' });
    expect(whyOf(take(row([0.51, 0.5, 0.4, 0.4, 0.3, 0.3, 0.2])))).toContain('wait until it stands still');
  });

  it('waits for a whole minute of a probe that was switched on just now', () => {
    expect(whyOf(take(row([0.2, 0.2, 0.2])))).toContain('whole minute');
    expect(whyOf(take(row([0.2], 10)))).toContain('whole minute');
  });

  it('does not bridge a silence', () => {
    const before = row(still).map((r) => ({ ...r, atMs: r.atMs - 10 * 60_000 }));
    expect(whyOf(take([...before, ...row([0.2, 0.2])]))).toContain('whole minute');
  });

  it('takes the last two of a probe that sends every five minutes', () => {
    expect(take(row([0.2, 0.3, 0.2], 300))).toMatchObject({ kind: 'steady' });
    expect(take(row([0.2, 0.8, 0.2], 300))).toMatchObject({ kind: 'cannot' });
  });

  it('is none when the probe is silent, or never spoke', () => {
    expect(take([])).toMatchObject({ why: 'no live reading to take: type what it reads' });
    expect(take(row(still), { nowMs: NOW_MS + 61_000 })).toMatchObject({
      why: 'no live reading to take: type what it reads',
    });
    expect(take(row(still), { nowMs: NaN })).toMatchObject({ kind: 'cannot' });
  });

  it('is none when the newest failed, is missing, is no number or is suspect', () => {
    const newest = (over: Partial<Reading>): Reading[] => [
      ...row(still).slice(0, -1),
      { atMs: NOW_MS, tempC: 0.2, quality: 1, ...over },
    ];
    for (const over of [{ quality: 4 }, { quality: 9 }, { tempC: NaN }] as const)
      expect(take(newest(over))).toMatchObject({ kind: 'cannot' });
    for (const newestReasons of [REASON.spike, REASON.flat, REASON.gross | REASON.flat, 0])
      expect(take(newest({ quality: 3 }), { newestReasons })).toMatchObject({ kind: 'cannot' });
  });

  it('is taken when the one doubt is that its place never gets that hot', () => {
    const hot = row(Array<number>(8).fill(99.6)).map((r): Reading => ({ ...r, quality: 3 }));
    expect(take(hot, { newestReasons: REASON.gross })).toMatchObject({ kind: 'steady' });
  });
});
