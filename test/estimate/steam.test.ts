import { describe, expect, it } from 'vitest';
import { steamCooling } from '../../server/estimate/steam.ts';

describe('what steam takes from a face', () => {
  it('is nothing on a dry face or below the dew point', () => {
    expect(steamCooling(80, 0)).toEqual({ byK: 0, slope: 0 });
    expect(steamCooling(5, 60).byK).toBe(0);
  });

  it('agrees with the wet bulb of the ASHRAE tables while water is free', () => {
    // Air of 93 degC with 0.010 kg/kg (1.6 kPa) holds a fully wet bulb at 34.2 degC (psychrometric formula, ASHRAE
    // Fundamentals; computed with an independent solver): there evaporation takes 93 - 34.2 = 58.8 K. The face of the
    // model is wet by a thirtieth and its air holds 1.8 kPa.
    const full = steamCooling(34.2, 1e9).byK / 0.03;
    expect(full).toBeGreaterThan(0.9 * 58.8);
    expect(full).toBeLessThan(1.1 * 58.8);
  });

  it('grows with the heat of the face, faster and faster, and never beyond what comes from inside', () => {
    const free = [40, 60, 80, 95].map((tempC) => steamCooling(tempC, 1e9).byK);
    expect(free[2]! - free[1]!).toBeGreaterThan(free[1]! - free[0]!);
    for (const tempC of [40, 80, 99, 150, 600]) expect(steamCooling(tempC, 40).byK).toBeLessThan(40);
  });

  it('tells its own slope', () => {
    for (const tempC of [30, 60, 85, 96, 120]) {
      const numeric = steamCooling(tempC + 0.01, 50).byK - steamCooling(tempC - 0.01, 50).byK;
      expect(steamCooling(tempC, 50).slope).toBeCloseTo(numeric / 0.02, 3);
    }
  });
});
