import { describe, expect, it } from 'vitest';
import { celsiusOf } from '../../../server/ingest/convert/units.ts';

describe('units of temperature', () => {
  // exact by definition: NIST SP 811 (2008) B.8, and 273.15 K = 0 degC (SI Brochure, 9th ed., 2019)
  it.each([
    ['degF', 32, 0],
    ['degF', 40, 4.4444],
    ['degF', 41, 5],
    ['degF', 135, 57.2222],
    ['degF', 140, 60],
    ['degF', 145, 62.7778],
    ['degF', 160, 71.1111],
    ['degF', 165, 73.8889],
    ['degF', 212, 100],
    ['degF', -40, -40],
    ['K', 277.65, 4.5],
    ['K', 273.15, 0],
    ['Cel', 63.5, 63.5],
  ])('%s %d is %d degrees Celsius', (unit, value, tempC) => {
    expect(celsiusOf(value, unit)).toBeCloseTo(tempC, 4);
  });

  it.each(['C', 'F', 'cel', 'k', 'degR', '', '__proto__'])('the unit "%s" gives no number', (unit) => {
    expect(celsiusOf(63.5, unit)).toBeNull();
  });
});
