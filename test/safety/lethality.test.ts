import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { lethalityMin, lethalRate, segmentLethalityMin } from '../../server/safety/lethality.ts';
import { coreLimit } from '../../server/safety/limits.ts';
import { atMin, sampled } from './trace.ts';

/** The bare integral, without a temperature from which it is counted. */
const bare = (zC: number) => ({ refC: 70, zC, zBelowRefC: zC, fromC: -Infinity });
const steady = (tempC: number, minutes: number) => [
  { atMs: atMin(0), tempC },
  { atMs: atMin(minutes), tempC },
];
const UK = coreLimit('uk', 'chicken')!.lethality!;
const UK_MINCE = coreLimit('uk', 'beef-minced')!.lethality!;

describe('UK equivalents of 70 degC for 2 minutes', () => {
  // FSA table as quoted (60/45, 65/10, 70/2, 75/30 s, 80/6 s) and P = t * 10^((T - 70)/7.5), worked by hand.
  it.each([
    [60, 45, 2.0887],
    [65, 10, 2.1544],
    [70, 2, 2.0],
    [75, 0.5, 2.3208],
    [80, 0.1, 2.1544],
  ])('%d degC for %d min counts as %d min at 70 with z 7.5', (tempC, minutes, expectedMin) => {
    expect(lethalityMin(steady(tempC, minutes), bare(7.5))).toBeCloseTo(expectedMin, 4);
    expect(lethalityMin(steady(tempC, minutes), UK)).toBeCloseTo(expectedMin, 4);
    expect(lethalityMin(steady(tempC, minutes), UK)).toBeGreaterThanOrEqual(UK.targetMin);
  });

  // ACMSF rows for E. coli risk food as quoted (60/93, 65/14), z = 6.0; 60/45 is not enough there.
  it.each([
    [60, 93, 2.0036],
    [65, 14, 2.0549],
    [60, 45, 0.9695],
  ])('mince: %d degC for %d min counts as %d min', (tempC, minutes, expectedMin) => {
    expect(lethalityMin(steady(tempC, minutes), bare(6))).toBeCloseTo(expectedMin, 4);
    expect(lethalityMin(steady(tempC, minutes), UK_MINCE)).toBeCloseTo(expectedMin, 4);
  });

  it('mince takes the stricter z on both sides of 70 degC', () => {
    fc.assert(
      fc.property(fc.double({ min: 60, max: 100, noNaN: true }), (tempC) => {
        const stricter = Math.min(10 ** ((tempC - 70) / 7.5), 10 ** ((tempC - 70) / 6));
        expect(lethalRate(tempC, UK_MINCE)).toBeCloseTo(stricter, 9);
      }),
    );
  });
});

describe('lethal rate', () => {
  // L = 10^((T - 70)/7.5) by hand.
  it.each([
    [60, 0.046416],
    [65, 0.215443],
    [75, 4.641589],
    [80, 21.544347],
  ])('at %d degC is %d', (tempC, expected) => {
    expect(lethalRate(tempC, bare(7.5))).toBeCloseTo(expected, 5);
  });

  it('counts nothing below the lowest row of the table', () => {
    expect(lethalRate(59.99, UK)).toBe(0);
    expect(lethalRate(60, UK)).toBeGreaterThan(0);
    expect(lethalityMin(steady(59.99, 600), UK)).toBe(0);
  });

  it.each([NaN, Infinity, -Infinity])('counts nothing at %d degC', (tempC) => {
    expect(lethalRate(tempC, UK)).toBe(0);
    expect(lethalityMin(steady(tempC, 10), UK)).toBe(0);
    expect(segmentLethalityMin({ fromTempC: 80, toTempC: tempC, minutes: 10 }, UK)).toBe(0);
  });

  it.each([NaN, 0, -5, Infinity])('counts nothing for a duration of %d min', (minutes) => {
    expect(segmentLethalityMin({ fromTempC: 70, toTempC: 75, minutes }, UK)).toBe(0);
  });
});

describe('a changing temperature', () => {
  // z/(r ln 10) (L(b) - L(a)) with r = 1 degC/min, by hand.
  it('60 to 70 degC in 10 min counts 3.106022 min, and so does the way down', () => {
    expect(segmentLethalityMin({ fromTempC: 60, toTempC: 70, minutes: 10 }, bare(7.5))).toBeCloseTo(
      3.106022,
      6,
    );
    expect(segmentLethalityMin({ fromTempC: 70, toTempC: 60, minutes: 10 }, bare(7.5))).toBeCloseTo(
      3.106022,
      6,
    );
  });

  it('60 to 75 degC at 1 degC per minute counts 14.9674 min', () => {
    expect(segmentLethalityMin({ fromTempC: 60, toTempC: 75, minutes: 15 }, bare(7.5))).toBeCloseTo(
      14.9674,
      3,
    );
  });

  it('credits less than trapezoids of a minute, which give 3.1304', () => {
    const minutes = Array.from({ length: 10 }, (_, i) => i);
    const trapezoids = minutes
      .map((m) => (lethalRate(60 + m, bare(7.5)) + lethalRate(61 + m, bare(7.5))) / 2)
      .reduce((a, b) => a + b);
    expect(trapezoids).toBeCloseTo(3.1304, 3);
    const ramp = sampled({ fromS: 0, toS: 600, stepS: 60 }, (seconds) => 60 + seconds / 60);
    expect(lethalityMin(ramp, bare(7.5))).toBeCloseTo(3.106022, 6);
  });

  it('a sparse profile counts 10.1990 min', () => {
    const profile = [
      [0, 20],
      [20, 60],
      [30, 68],
      [34, 70],
      [36, 71],
      [40, 66],
    ] as const;
    const samples = profile.map(([minute, tempC]) => ({ atMs: atMin(minute), tempC }));
    expect(lethalityMin(samples, bare(7.5))).toBeCloseTo(10.199, 3);
    // The UK rule leaves out the rise to 60 degC: 20 min/40 degC * 7.5/ln 10 * (L(60) - L(20)) = 0.0756.
    expect(lethalityMin(samples, UK)).toBeCloseTo(10.199 - 0.0756, 3);
  });

  it('T = 180 - 175 e^(-t/25) reaches 2.0 min at 12.354 min and 73.235 degC, having 0.7195 at 70 degC', () => {
    const core = (minutes: number) => 180 - 175 * Math.exp(-minutes / 25);
    const upTo = (minutes: number) =>
      lethalityMin(
        Array.from({ length: 2001 }, (_, i) => (i / 2000) * minutes).map((m) => ({
          atMs: atMin(m),
          tempC: core(m),
        })),
        bare(7.5),
      );
    expect(upTo(12.354)).toBeCloseTo(2, 2);
    expect(core(12.354)).toBeCloseTo(73.235, 2);
    expect(upTo(25 * Math.log(175 / 110))).toBeCloseTo(0.7195, 2);
  });

  it('is the same whole or in pieces, also across 60 and 70 degC', () => {
    const temperature = fc.double({ min: 40, max: 90, noNaN: true });
    fc.assert(
      fc.property(
        temperature,
        temperature,
        fc.double({ min: 0.01, max: 0.99, noNaN: true }),
        (a, b, share) => {
          const middle = a + (b - a) * share;
          const whole = segmentLethalityMin({ fromTempC: a, toTempC: b, minutes: 5 }, UK_MINCE);
          const pieces =
            segmentLethalityMin({ fromTempC: a, toTempC: middle, minutes: 5 * share }, UK_MINCE) +
            segmentLethalityMin({ fromTempC: middle, toTempC: b, minutes: 5 * (1 - share) }, UK_MINCE);
          expect(pieces).toBeCloseTo(whole, 6 - Math.max(0, Math.ceil(Math.log10(whole + 1))));
        },
      ),
    );
  });

  it('stays between holding the lower and holding the higher temperature', () => {
    const temperature = fc.double({ min: 60, max: 90, noNaN: true });
    fc.assert(
      fc.property(temperature, temperature, (a, b) => {
        const between = segmentLethalityMin({ fromTempC: a, toTempC: b, minutes: 3 }, UK);
        expect(between).toBeGreaterThanOrEqual(3 * lethalRate(Math.min(a, b), UK) * (1 - 1e-9));
        expect(between).toBeLessThanOrEqual(3 * lethalRate(Math.max(a, b), UK) * (1 + 1e-9));
      }),
    );
  });

  it('nothing is counted for no samples, or for one', () => {
    expect(lethalityMin([], UK)).toBe(0);
    expect(lethalityMin([{ atMs: atMin(0), tempC: 90 }], UK)).toBe(0);
  });

  it('one degree of probe error is worth a factor of 1.3594 at z 7.5', () => {
    expect(lethalRate(71, bare(7.5)) / lethalRate(70, bare(7.5))).toBeCloseTo(1.3594, 4);
  });
});
