import { describe, expect, it } from 'vitest';
import { boilingPointC, saturationK, standardPressurePa } from '../../server/safety/boiling-point.ts';

describe('where water boils', () => {
  // IAPWS R7-97(2012), table 36: saturation temperature by the backward equation, MPa and K
  it.each([
    [0.1, 372.7559],
    [1, 453.0356],
    [10, 584.1495],
  ])('at %d MPa is %d K, as IAPWS-IF97 publishes for checking', (megapascal, kelvin) => {
    expect(Math.abs(saturationK(megapascal * 1e6) - kelvin)).toBeLessThan(1e-4);
  });

  // the table of boiling points against height in the notes on thermometer practice: IF97 with ISO 2533:1975, worked out
  // separately from this code; kPa and degC as printed there
  it.each([
    [0, 101.33, 99.97],
    [250, 98.36, 99.14],
    [300, 97.77, 98.98],
    [500, 95.46, 98.31],
    [1000, 89.87, 96.65],
    [1524, 84.31, 94.9],
    [2000, 79.5, 93.32],
    [3000, 70.11, 89.97],
  ])('at %d m is where the tables have it', (altitudeM, kilopascal, tempC) => {
    expect(Math.abs(standardPressurePa(altitudeM) / 1000 - kilopascal)).toBeLessThan(0.006);
    expect(Math.abs(boilingPointC(altitudeM) - tempC)).toBeLessThan(0.006);
  });

  it('agrees within 0.05 °C with the rule of thumb of 1 °C in 300 m, up to 3,000 m', () => {
    for (let altitudeM = 0; altitudeM <= 3000; altitudeM += 10) {
      expect(Math.abs(boilingPointC(altitudeM) - (100 - altitudeM / 300))).toBeLessThan(0.05);
    }
  });

  // standard atmosphere at 5,000 m: 54.02 kPa, at 11,000 m: 22.63 kPa (ISO 2533:1975, from memory)
  it('has the pressure of the standard atmosphere', () => {
    expect(standardPressurePa(0)).toBe(101_325);
    expect(standardPressurePa(5000) / 1000).toBeCloseTo(54.02, 1);
    expect(standardPressurePa(11_000) / 1000).toBeCloseTo(22.63, 1);
  });

  it('falls with the height and rises with the pressure, without a step', () => {
    for (let altitudeM = -430; altitudeM < 6000; altitudeM += 5) {
      const fallC = boilingPointC(altitudeM) - boilingPointC(altitudeM + 5);
      expect(fallC).toBeGreaterThan(0.014);
      expect(fallC).toBeLessThan(0.021);
    }
  });

  it('is not told where the equations do not hold', () => {
    for (const wrong of [NaN, Infinity, 0, 611, 23e6])
      expect(() => saturationK(wrong)).toThrow(/pressurePa: expected .* got/);
    for (const wrong of [NaN, -5001, 11_001])
      expect(() => boilingPointC(wrong)).toThrow(/altitudeM: expected .* got/);
  });
});
