import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  betaOhm,
  betaTempC,
  dividerOhm,
  steinhartHartOhm,
  steinhartHartTempC,
} from '../../../server/ingest/convert/thermistor.ts';
import {
  BETA,
  BETA_OHM,
  BETA_TEMP_C,
  PRINTED,
  PRINTED_TABLE,
  SHEET,
  SHEET_OHM,
  SHEET_TEMP_C,
} from '../../reference/thermistor/vectors.ts';

const tempsC = fc.double({ min: -59.9, max: 300, noNaN: true });

describe('thermistors by beta', () => {
  it.each(BETA_OHM)('have at %d degrees %d ohm, and read so', (tempC, ohm) => {
    expect(Math.abs(betaOhm(tempC, BETA)! - ohm)).toBeLessThanOrEqual(0.01);
    expect(Math.abs(betaTempC(ohm, BETA)! - tempC)).toBeLessThanOrEqual(0.001);
  });

  it.each(BETA_TEMP_C)('of %d ohm are at %d degrees', (ohm, tempC) => {
    expect(Math.abs(betaTempC(ohm, BETA)! - tempC)).toBeLessThanOrEqual(0.001);
  });

  it('read back every temperature', () => {
    fc.assert(
      fc.property(tempsC, (tempC) => {
        expect(Math.abs(betaTempC(betaOhm(tempC, BETA)!, BETA)! - tempC)).toBeLessThan(1e-6);
      }),
    );
  });
});

describe('thermistors by Steinhart and Hart', () => {
  it.each(SHEET_TEMP_C)('of %d ohm are at %d degrees', (ohm, tempC) => {
    expect(Math.abs(steinhartHartTempC(ohm, SHEET)! - tempC)).toBeLessThanOrEqual(0.001);
  });

  it.each(SHEET_OHM)('have at %d degrees %d ohm', (tempC, ohm) => {
    expect(Math.abs(steinhartHartOhm(tempC, SHEET)! - ohm)).toBeLessThanOrEqual(0.01);
  });

  it.each(PRINTED_TABLE)('agree with a printed table: %d ohm is %d degrees', (ohm, tempC) => {
    expect(Math.abs(steinhartHartTempC(ohm, PRINTED)! - tempC)).toBeLessThanOrEqual(0.005);
  });

  it('read back every temperature, also without the cubic term', () => {
    fc.assert(
      fc.property(tempsC, fc.constantFrom(SHEET, PRINTED, { ...SHEET, c: 0 }), (tempC, curve) => {
        expect(Math.abs(steinhartHartTempC(steinhartHartOhm(tempC, curve)!, curve)! - tempC)).toBeLessThan(
          1e-6,
        );
      }),
    );
  });

  it('have fewer ohms the warmer they are', () => {
    fc.assert(
      fc.property(tempsC, tempsC, (a, b) => {
        fc.pre(Math.abs(a - b) > 1e-3);
        const [low, high] = a < b ? [a, b] : [b, a];
        expect(steinhartHartOhm(low, SHEET)!).toBeGreaterThan(steinhartHartOhm(high, SHEET)!);
        expect(betaOhm(low, BETA)!).toBeGreaterThan(betaOhm(high, BETA)!);
      }),
    );
  });

  it('differ from beta by several degrees near a fire, so that the choice matters there', () => {
    expect(betaTempC(100, BETA)! - steinhartHartTempC(100, SHEET)!).toBeCloseTo(5.72, 2);
  });
});

describe('thermistors that cannot be read', () => {
  it.each([0, -5, Infinity, -Infinity, NaN, 1e12, 1e-3])('give no temperature for %d ohm', (ohm) => {
    expect(betaTempC(ohm, BETA)).toBeNull();
    expect(steinhartHartTempC(ohm, SHEET)).toBeNull();
  });

  it.each([-61, 351, NaN])('give no ohms for %d degrees', (tempC) => {
    expect(betaOhm(tempC, BETA)).toBeNull();
    expect(steinhartHartOhm(tempC, SHEET)).toBeNull();
  });

  it.each([
    { r0Ohm: 0, t0C: 25, beta: 3950 },
    { r0Ohm: 10_000, t0C: 25, beta: 0 },
    { r0Ohm: 10_000, t0C: NaN, beta: 3950 },
    { r0Ohm: -1, t0C: 25, beta: 3950 },
  ])('give none by a curve that cannot be: %o', (curve) => {
    expect(betaTempC(5000, curve)).toBeNull();
  });

  it('never give a number that is not finite or not of this world', () => {
    const any = fc.double();
    fc.assert(
      fc.property(any, any, any, any, (ohm, a, b, c) => {
        for (const tempC of [
          betaTempC(ohm, { r0Ohm: a, t0C: b, beta: c }),
          steinhartHartTempC(ohm, { a, b, c }),
        ])
          expect(tempC === null || (tempC >= -60 && tempC <= 350)).toBe(true);
        const back = steinhartHartOhm(ohm, { a, b, c });
        expect(back === null || (back > 0 && back < Infinity)).toBe(true);
      }),
    );
  });
});

describe('a divider', () => {
  it('with the sensor to ground has its ohms by the share of the supply that it takes', () => {
    // 1365 of 4095 is a third of the supply: half of the fixed 10 kohm
    const ohm = dividerOhm(1365, { seriesOhm: 10_000, fullScale: 4095, sensorTo: 'ground' });
    expect(ohm).toBeCloseTo(5000, 6);
    expect(betaTempC(ohm!, BETA)).toBeCloseTo(41.46, 3);
  });

  it('with the sensor to the supply has the rest', () => {
    expect(dividerOhm(2730, { seriesOhm: 10_000, fullScale: 4095, sensorTo: 'supply' })).toBeCloseTo(5000, 6);
  });

  it.each([0, 4095, -1, 5000, NaN, Infinity])(
    'open, shorted or out of its scale gives no ohms: %d',
    (count) => {
      for (const sensorTo of ['ground', 'supply'] as const)
        expect(dividerOhm(count, { seriesOhm: 10_000, fullScale: 4095, sensorTo })).toBeNull();
    },
  );
});
