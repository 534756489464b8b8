import { describe, expect, it } from 'vitest';
import type { BodySpec } from '../../../simulator/physics/body.ts';
import { createBody, meanC, stepBody, temperatureAt, turnBody } from '../../../simulator/physics/body.ts';
import { air, bothSides, drySpec, secondsTo } from './support.ts';

/** First roots of z tan z = Bi by bisection, and the series of the slab's centre: Carslaw and Jaeger 1959, section 3.11; from memory. */
function slabCentre(biot: number, fourier: number): number {
  let sum = 0;
  for (let term = 1; term <= 12; term += 1) {
    let [low, high] = [(term - 1) * Math.PI, (term - 0.5) * Math.PI];
    for (let halving = 0; halving < 200; halving += 1) {
      const mid = (low + high) / 2;
      const tangent = Math.tan(mid);
      if (mid * tangent > biot || tangent < 0) high = mid;
      else low = mid;
    }
    const root = (low + high) / 2;
    sum += ((4 * Math.sin(root)) / (2 * root + Math.sin(2 * root))) * Math.exp(-(root ** 2) * fourier);
  }
  return sum;
}

function centreAfter(spec: BodySpec, biot: number, fourier: number): number {
  const half = spec.thicknessM / 2;
  const { conductivityWmK: k, densityKgM3, heatJKgK } = spec.material;
  const totalS = (fourier * half ** 2 * densityKgM3 * heatJKgK) / k;
  const steps = Math.ceil(totalS / 0.25);
  const body = createBody(spec, 1);
  for (let step = 0; step < steps; step += 1) {
    stepBody(spec, body, bothSides(air((biot * k) / half, 0)), totalS / steps);
  }
  return temperatureAt(spec, body, 0);
}

describe('a body between two equal sides follows the exact series', () => {
  it.each([
    [0.5, 0.4],
    [1, 0.1],
    [1, 1],
    [5, 0.4],
    [10, 0.2],
  ])('slab, Bi %f, Fo %f', (biot, fourier) => {
    const spec = drySpec(
      { shape: 'slab', thicknessM: 0.025, conductivityWmK: 0.45, diffusivityM2S: 1.2e-7 },
      200,
    );
    expect(centreAfter(spec, biot, fourier)).toBeCloseTo(slabCentre(biot, fourier), 4);
  });

  // Cengel, Heat Transfer, Table 4-2: Bi 10: cylinder 2.1795 and 1.5677, sphere 2.8363 and 1.9249; one term holds at Fo 0.5.
  it.each([
    ['cylinder', 1.5677 * Math.exp(-(2.1795 ** 2) * 0.5)],
    ['sphere', 1.9249 * Math.exp(-(2.8363 ** 2) * 0.5)],
  ] as const)('%s, Bi 10, Fo 0.5', (shape, expected) => {
    const spec = drySpec({ shape, thicknessM: 0.025, conductivityWmK: 0.45, diffusivityM2S: 1.2e-7 }, 100);
    expect(Math.abs(centreAfter(spec, 10, 0.5) - expected)).toBeLessThan(2e-4);
  });
});

describe('the time in which a core gets hot', () => {
  // Exact series (Carslaw and Jaeger 1959; Cengel Table 4-2 for its coefficients), evaluated outside this project.
  it.each([
    ['slab 20 mm, 5 to 71', 'slab', 0.02, 60, 0.45, 1.34e-7, 5, 71, 250, 369.0, 0.3],
    ['slab 25 mm, 5 to 54', 'slab', 0.025, 60, 0.48, 1.37e-7, 5, 54, 250, 417.3, 0.3],
    ['slab 35 mm, 4 to 74', 'slab', 0.035, 40, 0.53, 1.4e-7, 4, 74, 200, 1399.2, 1],
    ['cylinder 28 mm, 4 to 71', 'cylinder', 0.028, 40, 0.43, 1.33e-7, 4, 71, 200, 492.8, 0.5],
    ['cylinder 100 mm, 5 to 63', 'cylinder', 0.1, 20, 0.48, 1.37e-7, 5, 63, 150, 5606.8, 4],
    ['sphere 100 mm, 5 to 63', 'sphere', 0.1, 20, 0.48, 1.37e-7, 5, 63, 150, 3906.2, 4],
    ['slab 25 mm, 4 to 52', 'slab', 0.025, 40, 0.48, 1.36e-7, 4, 52, 200, 596.7, 0.5],
    // Incropera, Fundamentals of Heat and Mass Transfer, problem 5.119: water-like slabs in 100 degC, h 5000; t goes with L^2.
    ['water slab 10 mm', 'slab', 0.01, 5000, 0.613, 0.613 / 997 / 4179, 20, 60, 100, 67.5, 0.3],
    ['water slab 30 mm', 'slab', 0.03, 5000, 0.613, 0.613 / 997 / 4179, 20, 60, 100, 588.7, 0.3],
    // Singh and Heldman, Introduction to Food Engineering, example 4.26: an apple in moving air.
    ['apple, 15 to 3', 'sphere', 0.06, 50, 0.355, 0.355 / 820 / 3600, 15, 3, 2, 3778, 5],
  ] as const)(
    '%s',
    (
      _,
      shape,
      thicknessM,
      h,
      conductivityWmK,
      diffusivityM2S,
      startC,
      targetC,
      airC,
      expectedS,
      toleranceS,
    ) => {
      const spec = drySpec({ shape, thicknessM, conductivityWmK, diffusivityM2S });
      const seconds = secondsTo(spec, { startC, targetC, around: bothSides(air(h, airC)) });
      expect(Math.abs(seconds - expectedS)).toBeLessThan(toleranceS);
    },
  );
});

describe('turning', () => {
  const spec = drySpec(
    { shape: 'slab', thicknessM: 0.01, conductivityWmK: 0.416, diffusivityM2S: 1.19e-7 },
    50,
  );
  const plate = { below: air(900, 200), above: air(60, 25) };

  /** Seconds until every point has once been at 70 degC. */
  function doneWith(turnsS: readonly number[]): number {
    const stepS = 0.1;
    const body = createBody(spec, 25);
    const seen = body.cellsC.map(() => false);
    let turned = 0;
    for (let atS = 0; atS < 400; atS += stepS) {
      if ((turnsS[turned] ?? Infinity) <= atS + stepS / 2) {
        turnBody(body);
        turned += 1;
      }
      stepBody(spec, body, plate, stepS);
      body.cellsC.forEach((tempC, cell) => (seen[cell] ||= tempC >= 70));
      if (seen.every(Boolean)) return atS + stepS;
    }
    return Infinity;
  }

  it('takes 80 s with one turn and 69 s with ten, as published', () => {
    // J.-L. Thiffeault, "The mathematics of burger flipping", Physica D 2022 (arXiv 2206.13900): 80 s and 69 s; start 25 degC assumed.
    const once = Math.min(...[36, 37, 38].map((atS) => doneWith([atS])));
    const tenTimes = doneWith(Array.from({ length: 10 }, (_, index) => 6.1 * (index + 1)));
    expect(Math.abs(once - 80)).toBeLessThan(2);
    expect(Math.abs(tenTimes - 69)).toBeLessThan(1.5);
  });

  it('the oftener the faster, and both sides at once is fastest', () => {
    // Order of Rhee et al. 2003, J. Food Protection 66:1030: both sides 2.7 min, every 30 s 6.6 min, once 10.9 min.
    const patty = drySpec(
      { shape: 'slab', thicknessM: 0.02, conductivityWmK: 0.45, diffusivityM2S: 1.35e-7 },
      40,
    );
    const grill = { below: air(60, 300), above: air(15, 40) };
    const timeWith = (everyS: number): number => {
      const body = createBody(patty, 5);
      for (let atS = 0; atS < 3000; atS += 0.5) {
        if (atS > 0 && atS % everyS === 0) turnBody(body);
        stepBody(patty, body, grill, 0.5);
        if (temperatureAt(patty, body, 0) >= 71) return atS;
      }
      return Infinity;
    };
    const way = { startC: 5, targetC: 71 };
    const bothAtOnce = secondsTo(patty, { ...way, around: bothSides(grill.below) });
    const mean = air(37.5, (60 * 300 + 15 * 40) / 75);
    const endless = secondsTo(patty, { ...way, around: bothSides(mean) });
    const times = [bothAtOnce, endless, timeWith(15), timeWith(30), timeWith(60), timeWith(120)];
    expect(times).toEqual(times.toSorted((one, other) => one - other));
    expect(new Set(times).size).toBe(times.length);
  });

  it('brings the cool face to the fire', () => {
    const body = createBody(spec, 5);
    for (let step = 0; step < 60; step += 1) stepBody(spec, body, plate, 1);
    const [first, second] = body.faces.map(({ tempC }) => tempC);
    expect(first!).toBeGreaterThan(second! + 20);
    turnBody(body);
    for (let step = 0; step < 60; step += 1) stepBody(spec, body, plate, 1);
    expect(body.faces[1]!.tempC).toBeGreaterThan(body.faces[0]!.tempC);
  });
});

describe('a wet body', () => {
  const skin = { wetness: 0.35, waterKgM2: 0.3, supplyKgM2S: 0.0012, supplyKgM2: 3 };
  const material = { conductivityWmK: 0.5, densityKgM3: 1050, heatJKgK: 3550 };
  const wet: BodySpec = { shape: 'slab', thicknessM: 0.026, material, skin, cells: 26 };
  const dry: BodySpec = { ...wet, skin: { ...skin, wetness: 0 } };
  const fire = { ...air(20, 170), radiant: [{ tempC: 750, factor: 0.13 }], vapourPa: 1400 };
  const evening = { ...air(10, 25), vapourPa: 1400 };

  it.each([
    ['slab', wet],
    ['cylinder', { ...wet, shape: 'cylinder', thicknessM: 0.03 }],
    ['sphere', { ...wet, shape: 'sphere', thicknessM: 0.05 }],
    ['dry slab', dry],
  ] as const)('keeps the books of heat: %s', (_, spec) => {
    const body = createBody(spec, 5);
    const power = spec.shape === 'slab' ? 0 : spec.shape === 'cylinder' ? 1 : 2;
    const volume = power === 0 ? spec.thicknessM : (spec.thicknessM / 2) ** (power + 1) / (power + 1);
    let receivedJ = 0;
    for (let step = 0; step < 900; step += 1) {
      if (step % 200 === 199) turnBody(body);
      receivedJ += stepBody(spec, body, { below: fire, above: evening }, 1);
    }
    const storedJ = material.densityKgM3 * material.heatJKgK * volume * (meanC(spec, body) - 5);
    expect(receivedJ).toBeGreaterThan(0);
    expect(Math.abs(storedJ / receivedJ - 1)).toBeLessThan(1e-6);
  });

  it('is slower than a dry one, loses water, and never gets hotter inside than boiling water', () => {
    const around = { below: fire, above: evening };
    const way = { startC: 5, targetC: 75, around, stepS: 1 };
    expect(secondsTo(wet, way)).toBeGreaterThan(1.1 * secondsTo(dry, way));
    const body = createBody(wet, 5);
    let lostKgM2 = 0;
    for (let step = 0; step < 3600; step += 1) {
      stepBody(wet, body, around, 1);
      const lost = body.faces.reduce((sum, face) => sum + face.lostKgM2, 0);
      expect(lost).toBeGreaterThanOrEqual(lostKgM2);
      lostKgM2 = lost;
    }
    expect(lostKgM2).toBeGreaterThan(0.3);
    expect(Math.max(...body.cellsC)).toBeLessThanOrEqual(100);
  });

  it('gets its crust only when the water at the face is gone', () => {
    const body = createBody(wet, 5);
    for (let step = 0; step < 60; step += 1) stepBody(wet, body, { below: fire, above: evening }, 1);
    const early = body.faces[0]!;
    expect(early.waterKgM2).toBeGreaterThan(0);
    const [earlyC, earlyWater] = [early.tempC, early.waterKgM2];
    for (let step = 0; step < 900; step += 1) stepBody(wet, body, { below: fire, above: evening }, 1);
    expect(body.faces[0]!.waterKgM2).toBeLessThan(earlyWater);
    expect(body.faces[0]!.tempC).toBeGreaterThan(earlyC);
  });

  it('rises a little after it is taken off, then cools', () => {
    // Patties of 86 and 143 g taken off at 66.1 degC rose by less than 5 degC: Berry and Bigner-George 2001, J. Food Protection 64:1405.
    const body = createBody(wet, 5);
    const around = { below: fire, above: evening };
    for (let step = 0; step < 6000 && temperatureAt(wet, body, 0) < 70; step += 1) {
      if (step % 240 === 239) turnBody(body);
      stepBody(wet, body, around, 1);
    }
    const offC = temperatureAt(wet, body, 0);
    const rest = { ...air(6, 20), radiant: [{ tempC: 20, factor: 0.4 }], vapourPa: 1400 };
    let peakC = offC;
    for (let step = 0; step < 1800; step += 1) {
      stepBody(wet, body, bothSides(rest), 1);
      peakC = Math.max(peakC, temperatureAt(wet, body, 0));
    }
    expect(peakC - offC).toBeGreaterThan(0.3);
    expect(peakC - offC).toBeLessThan(6);
    expect(temperatureAt(wet, body, 0)).toBeLessThan(offC);
  });
});

describe('a body that cannot be', () => {
  const spec = drySpec({ shape: 'slab', thicknessM: 0.02, conductivityWmK: 0.5, diffusivityM2S: 1.3e-7 });
  it.each([0, -1, Number.NaN])('refuses a thickness of %f m', (thicknessM) => {
    expect(() => createBody({ ...spec, thicknessM }, 5)).toThrow(/thicknessM/);
  });
  it.each([3, 4.5])('refuses %f cells', (cells) => {
    expect(() => createBody({ ...spec, cells }, 5)).toThrow(/cells/);
  });
});
