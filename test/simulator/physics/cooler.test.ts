import { describe, expect, it } from 'vitest';
import type { Cooler, CoolerSpec } from '../../../simulator/physics/cooler.ts';
import { addIce, stepCooler } from '../../../simulator/physics/cooler.ts';

const BARE: CoolerSpec = {
  wallWK: 1,
  airJK: 100,
  foodAirWK: 0,
  foodJKgK: 3400,
  iceFoodWKPerKg: 0,
  iceAirWKPerKg: 0,
  iceTouchingKg: 1,
  openWK: 5,
};
const PACKED: CoolerSpec = { ...BARE, foodAirWK: 2, iceFoodWKPerKg: 3, iceAirWKPerKg: 1 };

function cooler(now: Partial<Cooler>): Cooler {
  return { airC: 0, foodC: 4, foodKg: 0, iceC: 0, iceKg: 0, ...now };
}

function hoursUntil(spec: CoolerSpec, now: Cooler, ambientC: number, done: () => boolean): number {
  for (let minute = 0; minute < 20_000; minute += 1) {
    if (done()) return minute / 60;
    stepCooler(spec, now, { ambientC, isOpen: false }, 60);
  }
  return Infinity;
}

/** Two conductances in series that make one. */
const halves = (totalWK: number): number => 2 * totalWK;

describe('ice in a cooler', () => {
  it('of 2 kg at 0 degC lasts 6.18 h behind 1 W/K at 30 degC', () => {
    // m L / (UA dT) with L 333.6 kJ/kg (FAO, Ice in fisheries): 667.2 kJ / 30 W.
    const spec = { ...BARE, wallWK: halves(1), iceAirWKPerKg: halves(1) };
    const now = cooler({ iceKg: 3 });
    const left = (): boolean => now.iceKg <= 1;
    expect(hoursUntil(spec, now, 30, left)).toBeCloseTo(667_200 / 30 / 3600, 1);
  });

  it('of -18 degC lasts 6.54 h until 50 g are left, less than when all of its heat came in at 30 W', () => {
    // m c ln(48/30)/UA for the warming, m L/(UA 30 K) for the melting; 2 kg with 36.9 kJ/kg from -18 to 0 degC (Choi and Okos 1986).
    const spec = { ...BARE, wallWK: halves(1), iceTouchingKg: 0.05, iceAirWKPerKg: halves(1) / 0.05 };
    const now = cooler({ iceKg: 2, iceC: -18, airC: -18 });
    const hours = hoursUntil(spec, now, 30, () => now.iceKg <= 0.05);
    const expected = (2 * 2050 * Math.log(48 / 30) + (1.95 * 333_600) / 30) / 3600;
    expect(Math.abs(hours / expected - 1)).toBeLessThan(0.01);
    expect(hours).toBeLessThan((2 * (36_900 + 333_600)) / 30 / 3600);
  });

  it('of 30 kg lasts 136.4 h in a chest that lets in 20.35 W', () => {
    // Singh and Heldman, Introduction to Food Engineering, ice chest problem: 20.35 W at 25 degC outside, L 333.2 kJ/kg.
    const spec = { ...BARE, wallWK: halves(20.35 / 25), iceAirWKPerKg: halves(20.35 / 25) };
    const now = cooler({ iceKg: 31 });
    const hours = hoursUntil(spec, now, 25, () => now.iceKg <= 1);
    expect(Math.abs(hours / 136.4 - 1)).toBeLessThan(0.005);
  });
});

describe('food in a cooler', () => {
  it('without ice passes from 3 to 5 degC in 0.363 h and to 8 degC in 0.967 h', () => {
    // Newton's law: 6 kg of 3400 J/(kg K) behind 1.2 W/K at 30 degC.
    const spec = { ...BARE, airJK: 20, wallWK: halves(1.2), foodAirWK: halves(1.2) };
    const now = cooler({ foodKg: 6, foodC: 3, airC: 16.5 });
    const first = hoursUntil(spec, now, 30, () => now.foodC >= 5);
    const second = first + hoursUntil(spec, now, 30, () => now.foodC >= 8);
    expect(Math.abs(first - 0.363)).toBeLessThan(0.02);
    expect(Math.abs(second - 0.967)).toBeLessThan(0.02);
  });

  it('warms all the time once the ice is gone, and cools when ice is laid on it', () => {
    const now = cooler({ foodKg: 2, foodC: 4, airC: 8, iceKg: 0.01 });
    let before = now.foodC;
    for (let minute = 0; minute < 60; minute += 1) {
      stepCooler(PACKED, now, { ambientC: 27, isOpen: false }, 60);
      expect(now.foodC).toBeGreaterThan(before);
      before = now.foodC;
    }
    addIce(now, 2);
    for (let minute = 0; minute < 30; minute += 1)
      stepCooler(PACKED, now, { ambientC: 27, isOpen: false }, 60);
    expect(now.foodC).toBeLessThan(before - 2);
  });

  it('gets more heat while the lid is open', () => {
    const shut = cooler({ foodKg: 2, airC: 5, iceKg: 1 });
    const open = cooler({ foodKg: 2, airC: 5, iceKg: 1 });
    const intoShut = stepCooler(PACKED, shut, { ambientC: 27, isOpen: false }, 60);
    const intoOpen = stepCooler(PACKED, open, { ambientC: 27, isOpen: true }, 60);
    expect(intoOpen).toBeGreaterThan(2 * intoShut);
  });
});

describe('the heat that comes into a cooler', () => {
  it('is what air, food and ice took up', () => {
    const now = cooler({ foodKg: 3, foodC: 4, airC: 6, iceKg: 1.5 });
    const storedJ = (state: Cooler): number =>
      PACKED.airJK * state.airC + PACKED.foodJKgK * state.foodKg * state.foodC - 333_600 * state.iceKg;
    const before = storedJ(now);
    let cameInJ = 0;
    for (let minute = 0; minute < 120; minute += 1) {
      cameInJ += stepCooler(PACKED, now, { ambientC: 25, isOpen: minute === 60 }, 60);
    }
    expect(now.iceKg).toBeGreaterThan(0);
    expect(Math.abs((storedJ(now) - before) / cameInJ - 1)).toBeLessThan(1e-9);
  });
});

describe('ice to be added', () => {
  it.each([0, -1, Number.NaN])('of %f kg is refused', (iceKg) => {
    expect(() => addIce(cooler({}), iceKg)).toThrow(/iceKg/);
  });
});
