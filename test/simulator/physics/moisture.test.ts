import { describe, expect, it } from 'vitest';
import type { Skin } from '../../../simulator/physics/face.ts';
import { faceFlux, settleFace } from '../../../simulator/physics/face.ts';
import { saturationPa, wetFlux } from '../../../simulator/physics/moisture.ts';
import { air } from './support.ts';

const FREE_WATER: Skin = { wetness: 1, waterKgM2: 1, supplyKgM2S: 0, supplyKgM2: 0 };

function vapourPa(humidityRatio: number): number {
  return (humidityRatio * 101_325) / (0.62198 + humidityRatio);
}

describe('saturation pressure', () => {
  it('is 12349.86 Pa at 50 degC', () => {
    // Hyland and Wexler 1983, ASHRAE Handbook, Fundamentals.
    expect(Math.abs(saturationPa(50) - 12_349.86)).toBeLessThan(0.5);
  });
  it('is one atmosphere at 100 degC within 0.1 %', () => {
    expect(Math.abs(saturationPa(100) / 101_325 - 1)).toBeLessThan(1e-3);
  });
});

describe('a wet face without radiation settles near the wet bulb', () => {
  // Adiabatic wet bulb, ASHRAE psychrometrics: 110 degC with 0.010 kg/kg 36.95; 180 degC with 0.020 48.11; 150 with 0.050 51.8.
  it.each([
    [110, 0.01, 36.95],
    [180, 0.02, 48.11],
    [150, 0.05, 51.8],
  ])('%f degC air, humidity ratio %f', (airC, humidityRatio, wetBulbC) => {
    const face = { tempC: 20, waterKgM2: 1, lostKgM2: 0 };
    const side = { ...air(10, airC), vapourPa: vapourPa(humidityRatio) };
    settleFace(face, FREE_WATER, [side], { conductanceWm2K: 0, tempC: 0 });
    expect(Math.abs(face.tempC - wetBulbC)).toBeLessThan(1.5);
  });
});

describe('a face', () => {
  it('dries the faster the hotter it is and the drier the air', () => {
    expect(wetFlux(60, 1000, 10)).toBeGreaterThan(wetFlux(40, 1000, 10));
    expect(wetFlux(40, 1000, 10)).toBeGreaterThan(wetFlux(40, 3000, 10));
  });

  it('settles where as much heat comes in as goes on, also above boiling', () => {
    const face = { tempC: 20, waterKgM2: 0.001, lostKgM2: 0 };
    const side = { ...air(20, 170), radiant: [{ tempC: 750, factor: 0.13 }], vapourPa: 1400 };
    const inside = { conductanceWm2K: 600, tempC: 80 };
    const line = settleFace(face, FREE_WATER, [side], inside);
    const inflow = faceFlux(face.tempC, face, FREE_WATER, [side]).heatWm2;
    expect(inflow).toBeCloseTo(600 * (face.tempC - 80), 1);
    expect(line.atZero - line.slope * 80).toBeCloseTo(inflow, 1);
  });

  it('takes no dew', () => {
    const face = { tempC: 5, waterKgM2: 1, lostKgM2: 0 };
    expect(faceFlux(5, face, FREE_WATER, [{ ...air(10, 30), vapourPa: 3000 }]).waterKgM2S).toBe(0);
  });
});
