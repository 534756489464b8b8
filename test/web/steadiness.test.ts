import { describe, expect, it } from 'vitest';
import { steadinessOf, withSample } from '../../web/views/probes/steadiness.ts';
import type { Sample } from '../../web/views/probes/steadiness.ts';

/** One sample every two seconds. */
function samples(...tempsC: number[]): readonly Sample[] {
  return tempsC.reduce<readonly Sample[]>((all, tempC, index) => withSample(all, index * 2_000, tempC), []);
}
const flat = (count: number, tempC = 0.4): number[] => Array.from({ length: count }, () => tempC);

describe('a probe in ice water', () => {
  it('stands still when it stayed within 0.3 degrees for a whole minute', () => {
    expect(steadinessOf(samples(...flat(31)))).toEqual({ kind: 'steady' });
    expect(steadinessOf(samples(0.65, ...flat(30)))).toEqual({ kind: 'steady' });
  });

  it('is watched on until a minute is over', () => {
    expect(steadinessOf(samples(...flat(11)))).toEqual({ kind: 'watching', leftMs: 40_000 });
    expect(steadinessOf([])).toEqual({ kind: 'watching', leftMs: 60_000 });
  });

  it('still moves while the last minute saw more than 0.3 degrees', () => {
    expect(steadinessOf(samples(1.4, ...flat(30)))).toMatchObject({ kind: 'moving' });
    expect(steadinessOf(samples(9, 5))).toEqual({ kind: 'moving', byC: 4 });
  });

  it('may have moved before the last minute', () => {
    expect(steadinessOf(samples(18, 9, ...flat(31)))).toEqual({ kind: 'steady' });
  });

  it('is not called steady by a number that is none', () => {
    expect(steadinessOf(samples(...flat(30), Number.NaN)).kind).toBe('moving');
  });

  it('takes every reading once', () => {
    const once = withSample([], 1_000, 4);
    expect(withSample(once, 1_000, 5)).toBe(once);
  });
});
