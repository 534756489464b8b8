import type { Food, Shape } from '../../server/contract/food.ts';
import type { Reading } from '../../server/contract/reading.ts';
import type { Cook } from './cooks.ts';
import { Layers } from './finite-volume.ts';
import { seeded } from './seeded.ts';

/** A piece with constant properties, one coefficient and one ambient, and its time to the target by the exact series. */
export type ClosedForm = {
  name: string;
  food: Food;
  shape: Shape;
  thicknessMm: number;
  hWm2K: number;
  kWmK: number;
  alphaM2S: number;
  startC: number;
  targetC: number;
  ambientC: number;
  timeS: number;
  toleranceS: number;
};

const row = (
  name: string,
  [food, shape, thicknessMm]: readonly [Food, Shape, number],
  [hWm2K, kWmK, alphaM2S]: readonly [number, number, number],
  [startC, targetC, ambientC]: readonly [number, number, number],
  [timeS, toleranceS]: readonly [number, number],
): ClosedForm => ({
  ...{ name, food, shape, thicknessMm, hWm2K, kWmK, alphaM2S },
  ...{ startC, targetC, ambientC, timeS, toleranceS },
});

/**
 * Times to the target by the exact conduction series (Carslaw & Jaeger), worked out with a solver that is not the
 * project's (SciPy root finding, six or more terms) and agreeing with a finite-volume run to 1e-6.
 */
export const CLOSED_FORMS: readonly ClosedForm[] = [
  row('patty', ['beef-minced', 'slab', 20], [60, 0.45, 1.34e-7], [5, 71, 250], [369.0, 0.3]),
  row('steak', ['beef', 'slab', 25], [60, 0.48, 1.37e-7], [5, 54, 250], [417.3, 0.3]),
  row('chicken', ['chicken', 'slab', 35], [40, 0.53, 1.4e-7], [4, 74, 200], [1399.2, 1]),
  row('sausage', ['pork-minced', 'cylinder', 28], [40, 0.43, 1.33e-7], [4, 71, 200], [492.8, 0.5]),
  row('roast', ['beef', 'cylinder', 100], [20, 0.48, 1.37e-7], [5, 63, 150], [5606.8, 4]),
  row('round roast', ['beef', 'sphere', 100], [20, 0.48, 1.37e-7], [5, 63, 150], [3906.2, 4]),
  row('salmon', ['fish', 'slab', 25], [40, 0.48, 1.36e-7], [4, 52, 200], [596.7, 0.5]),
];

/** The centre every second until `untilS`, from the layer model with the same constant coefficient on every face. */
export function layerCentre(c: ClosedForm, untilS: number): { atS: number; tempC: number }[] {
  const sizeM = c.thicknessMm / 1000;
  const layers = new Layers(
    { shape: c.shape, sizeM, conductivityWmK: c.kWmK, kRisePerC: 0, heatCapacityJm3K: c.kWmK / c.alphaM2S },
    c.startC,
  );
  const dtS = c.timeS > 1000 ? 1 : 0.25;
  const points: { atS: number; tempC: number }[] = [];
  for (let step = 1; step * dtS <= untilS; step += 1) {
    layers.step(dtS, (_face, surfaceC) => c.hWm2K * (c.ambientC - surfaceC));
    points.push({ atS: step * dtS, tempC: layers.at(c.shape === 'slab' ? sizeM / 2 : 0) });
  }
  return points;
}

const ON_MS = Date.UTC(2031, 8, 20, 16, 0, 0);

/** The same pieces as cooks: tenth-of-a-degree readings every 5 s, arrival = the closed form. */
export function closedFormCooks(): Cook[] {
  return CLOSED_FORMS.map((c, index) => {
    const rng = seeded(index + 1);
    const readings: Reading[] = layerCentre(c, c.timeS)
      .filter(({ atS }) => atS % 5 === 0)
      .map(({ atS, tempC }) => ({
        atMs: ON_MS + atS * 1000,
        tempC: Math.round(10 * (tempC + rng.normal(0, 0.1))) / 10,
        quality: 1,
      }));
    const zone =
      c.ambientC >= 250 ? ('hot' as const) : c.ambientC >= 200 ? ('medium' as const) : ('indirect' as const);
    return {
      name: c.name,
      food: c.food,
      shape: c.shape,
      thicknessMm: c.thicknessMm,
      targetC: c.targetC,
      turnPlan: { kind: 'none' },
      onMs: ON_MS,
      zones: [{ fromMs: ON_MS, zone, sensorC: c.ambientC }],
      events: [{ atMs: ON_MS, step: 'on', zone }],
      readings,
      arrivalMs: ON_MS + c.timeS * 1000,
    };
  });
}
