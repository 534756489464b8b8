import { describe, expect, it } from 'vitest';
import type { PotSpec } from '../../../simulator/physics/pot.ts';
import { stepPot } from '../../../simulator/physics/pot.ts';

const POT: PotSpec = {
  foodKg: 9,
  foodJKgK: 3700,
  vesselJK: 3000,
  foodVesselWK: 500,
  lossWK: 2,
  burnerW: 0,
  openM2: 0.07,
};
const SHUT = { ambientC: 20, vapourPa: 1400, isOpen: false };

describe('a pot', () => {
  it('off the burner falls to 1/e of its excess in the time constant C/UA', () => {
    // Newton's law of cooling.
    const pot = { foodC: 80, vesselC: 80 };
    const tauS = (POT.foodKg * POT.foodJKgK + POT.vesselJK) / POT.lossWK;
    for (let second = 0; second < tauS; second += 1) stepPot(POT, pot, SHUT, 1);
    expect(pot.foodC).toBeCloseTo(20 + 60 / Math.E, 0);
  });

  it('on a low burner ends where loss and burner are equal', () => {
    const pot = { foodC: 80, vesselC: 80 };
    for (let second = 0; second < 200_000; second += 1) stepPot({ ...POT, burnerW: 100 }, pot, SHUT, 1);
    expect(pot.vesselC).toBeCloseTo(20 + 100 / POT.lossWK, 1);
  });

  it('keeps the books of heat, and loses much more with the lid off', () => {
    const lossWith = (isOpen: boolean): number => {
      const pot = { foodC: 75, vesselC: 75 };
      let receivedJ = 0;
      for (let second = 0; second < 600; second += 1) receivedJ += stepPot(POT, pot, { ...SHUT, isOpen }, 1);
      const storedJ = POT.foodKg * POT.foodJKgK * (pot.foodC - 75) + POT.vesselJK * (pot.vesselC - 75);
      expect(Math.abs(storedJ / receivedJ - 1)).toBeLessThan(1e-9);
      return -storedJ;
    };
    expect(lossWith(true)).toBeGreaterThan(2 * lossWith(false));
  });
});
