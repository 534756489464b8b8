import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { platinumOhm, platinumTempC } from '../../../server/ingest/convert/platinum.ts';
import { PT100_TABLE, PT_BETWEEN } from '../../reference/platinum/table.ts';

/** Half of the last place of the table; a Pt100 changes by 0.32 ohm per degree or more up to 600 degC. */
const TABLE_OHM = 0.005;
const TABLE_C = TABLE_OHM / 0.32;
const tempsC = fc.double({ min: -200, max: 850, noNaN: true });

describe('platinum sensors', () => {
  it.each(PT100_TABLE)('a Pt100 has at %d degrees the %d ohm of the table', (tempC, tableOhm, ohm) => {
    expect(Math.abs(platinumOhm(tempC, 100)! - tableOhm)).toBeLessThanOrEqual(TABLE_OHM);
    expect(platinumOhm(tempC, 100)).toBeCloseTo(ohm, 4);
  });

  it.each(PT100_TABLE)(
    'a Pt100 reads %d degrees at the %d ohm of the table',
    (tempC, tableOhm, _ohm, inverseC) => {
      expect(Math.abs(platinumTempC(tableOhm, 100)! - tempC)).toBeLessThanOrEqual(TABLE_C);
      expect(Math.abs(platinumTempC(tableOhm, 100)! - inverseC)).toBeLessThanOrEqual(0.001);
    },
  );

  it.each(PT_BETWEEN)('at %d degrees a sensor of %d ohm at zero has %d ohm', (tempC, r0Ohm, ohm) => {
    expect(Math.abs(platinumOhm(tempC, r0Ohm)! - ohm)).toBeLessThanOrEqual(TABLE_OHM);
  });

  it('turns every temperature from -200 to 850 degrees into ohms and back', () => {
    fc.assert(
      fc.property(tempsC, fc.constantFrom(100, 500, 1000), (tempC, r0Ohm) => {
        expect(Math.abs(platinumTempC(platinumOhm(tempC, r0Ohm)!, r0Ohm)! - tempC)).toBeLessThan(1e-6);
      }),
    );
  });

  it('has more ohms the warmer it is, and reads warmer the more ohms it has', () => {
    fc.assert(
      fc.property(tempsC, tempsC, (a, b) => {
        fc.pre(Math.abs(a - b) > 1e-6);
        const [low, high] = a < b ? [a, b] : [b, a];
        expect(platinumOhm(low, 100)!).toBeLessThan(platinumOhm(high, 100)!);
        expect(platinumTempC(platinumOhm(low, 100)!, 100)!).toBeLessThan(
          platinumTempC(platinumOhm(high, 100)!, 100)!,
        );
      }),
    );
  });

  it.each([0, -100, 18.4, 390.6, 1e9, Infinity, -Infinity, NaN])('gives no temperature for %d ohm', (ohm) => {
    expect(platinumTempC(ohm, 100)).toBeNull();
  });

  it.each([-201, 851, Infinity, NaN])('gives no ohms for %d degrees', (tempC) => {
    expect(platinumOhm(tempC, 100)).toBeNull();
  });

  it.each([0, -100, NaN, Infinity])('gives nothing for a sensor of %d ohm at zero', (r0Ohm) => {
    expect(platinumTempC(100, r0Ohm)).toBeNull();
    expect(platinumOhm(20, r0Ohm)).toBeNull();
  });
});
