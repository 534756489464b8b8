import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { typeKMillivolt, typeKTempC } from '../../../server/ingest/convert/type-k.ts';
import { TYPE_K_COLD_JUNCTION, TYPE_K_TABLE, TYPE_K_TENS_MV } from '../../reference/type-k/table.ts';

/** Half of the last place of the table, and what that is in degrees where the curve is flattest (-200 to 0 degC aside). */
const TABLE_MV = 0.0005;
const TABLE_C = 0.015;
/** Bound of the inverse polynomials by themselves, degC: the same source. */
const POLYNOMIAL_C = 0.06;

describe('type K thermocouples', () => {
  it.each(TYPE_K_TABLE)('give at %d degrees the %d mV of the table', (tempC, tableMv, mv) => {
    expect(Math.abs(typeKMillivolt(tempC)! - tableMv)).toBeLessThanOrEqual(TABLE_MV);
    expect(typeKMillivolt(tempC)).toBeCloseTo(mv, 6);
  });

  it.each(TYPE_K_TABLE)('read %d degrees at the %d mV of the table', (tempC, tableMv, _mv, inverseC) => {
    expect(Math.abs(typeKTempC(tableMv, 0)! - tempC)).toBeLessThanOrEqual(TABLE_C);
    expect(Math.abs(typeKTempC(tableMv, 0)! - inverseC)).toBeLessThanOrEqual(POLYNOMIAL_C);
  });

  it('agree with every tenth row of the table to its last place', () => {
    const rounded = TYPE_K_TENS_MV.map((_, i) => Math.round(typeKMillivolt(i * 10)! * 1000) / 1000);
    expect(rounded).toEqual([...TYPE_K_TENS_MV]);
  });

  it.each(TYPE_K_COLD_JUNCTION)(
    'of %d mV with a cold junction at %d degrees are at %d degrees at the hot end',
    (mv, coldC, hotC, withinC) => {
      expect(Math.abs(typeKTempC(mv, coldC)! - hotC)).toBeLessThanOrEqual(withinC);
    },
  );

  it('find the hot end whatever the cold junction, also where the two voltages fall into different ranges', () => {
    const hot = fc.double({ min: -199.9, max: 1371.9, noNaN: true });
    const cold = fc.double({ min: -199.9, max: 1371.9, noNaN: true });
    fc.assert(
      fc.property(hot, cold, (hotC, coldC) => {
        const mv = typeKMillivolt(hotC)! - typeKMillivolt(coldC)!;
        expect(Math.abs(typeKTempC(mv, coldC)! - hotC)).toBeLessThan(1e-4);
      }),
    );
  });

  it('give more voltage the warmer they are', () => {
    const tempsC = fc.double({ min: -269, max: 1372, noNaN: true });
    fc.assert(
      fc.property(tempsC, tempsC, (a, b) => {
        fc.pre(Math.abs(a - b) > 1e-3);
        const [low, high] = a < b ? [a, b] : [b, a];
        expect(typeKMillivolt(low)!).toBeLessThan(typeKMillivolt(high)!);
      }),
    );
  });

  it.each([-7, 55, 100, Infinity, -Infinity, NaN])('give no temperature for %d mV', (mv) => {
    expect(typeKTempC(mv, 0)).toBeNull();
  });

  it.each([NaN, Infinity, -300, 2000])(
    'give none without a cold junction that can be: %d degrees',
    (coldC) => {
      expect(typeKTempC(1, coldC)).toBeNull();
    },
  );

  it.each([-271, 1373, NaN])('give no voltage for %d degrees', (tempC) => {
    expect(typeKMillivolt(tempC)).toBeNull();
  });
});
