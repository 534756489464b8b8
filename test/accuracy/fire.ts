import type { Heat } from '../../server/contract/food.ts';
import type { Seeded } from './seeded.ts';

const STEFAN_BOLTZMANN = 5.670374e-8;
const EMISSIVITY = 0.9;
const EVAPORATION_J_PER_KG = 2.26e6;

function radiatedWm2(tempC: number): number {
  return STEFAN_BOLTZMANN * (tempC + 273.15) ** 4;
}

/** Saturation pressure of water over 0 to 100 degC, Pa (Magnus form, from memory; 12.35 kPa at 50 degC). */
function saturationPa(tempC: number): number {
  return 611.2 * Math.exp((17.62 * tempC) / (243.12 + tempC));
}

/** What a face meets: moving air, and radiation falling on it. */
export type Surroundings = { airC: number; airWm2K: number; incidentWm2: number };

/** One zone as it burns: the side of the fire and the side of the lid or the sky. */
export type Fire = { below: Surroundings; above: Surroundings; aboveOpen: Surroundings };

type Range = readonly [number, number];
const BED: Record<Heat, { incident: Range; gas: Range; lid: Range }> = {
  // 11 kW/m2 at 100 mm over charcoal, three quarters radiative (J. Home Econ. Japan 55(9), read): middle of hot.
  hot: { incident: [6500, 11500], gas: [180, 280], lid: [170, 250] },
  medium: { incident: [4500, 7500], gas: [150, 210], lid: [150, 210] },
  gentle: { incident: [2800, 4800], gas: [115, 165], lid: [120, 170] },
  indirect: { incident: [0, 0], gas: [118, 175], lid: [0, 0] },
};

export function lightFire(zone: Heat, isLidClosed: boolean, rng: Seeded): Fire {
  const { incident, gas, lid } = BED[zone];
  const gasC = rng.between(...gas);
  const room: Surroundings = {
    airC: rng.between(20, 55),
    airWm2K: rng.between(8, 15),
    incidentWm2: radiatedWm2(25),
  };
  if (zone === 'indirect') {
    const side = {
      airC: gasC,
      airWm2K: rng.between(9, 22),
      incidentWm2: radiatedWm2(gasC + rng.between(-10, 25)),
    };
    return { below: side, above: side, aboveOpen: room };
  }
  const lidC = rng.between(...lid);
  const under = { airC: lidC, airWm2K: rng.between(8, 18), incidentWm2: radiatedWm2(lidC) };
  return {
    below: { airC: gasC, airWm2K: rng.between(14, 28), incidentWm2: rng.between(...incident) },
    above: isLidClosed ? under : room,
    aboveOpen: room,
  };
}

/** A face that dries as it steams: the water that juice brings to it falls towards a crust's. */
export class Face {
  #steamedKgM2 = 0;
  readonly #wet: { start: number; crust: number; storeKgM2: number };

  constructor(wet: { start: number; crust: number; storeKgM2: number }) {
    this.#wet = wet;
  }

  #steamKgM2S(surfaceC: number, around: Surroundings): number {
    const { start, crust, storeKgM2 } = this.#wet;
    const wetness = crust + (start - crust) * Math.exp(-this.#steamedKgM2 / storeKgM2);
    const vapourKgM3 = (Math.min(saturationPa(surfaceC), 101_325) - 1400) / (461.5 * (surfaceC + 273.15));
    // Lewis: mass coefficient = h / (rho cp) of air, about h / 1000 at these temperatures.
    const boiling = surfaceC > 100 ? 1 + (surfaceC - 100) / 2 : 1;
    return Math.max(wetness * (around.airWm2K / 1000) * vapourKgM3 * boiling, 0);
  }

  /** Net flux into the face, W/m2. */
  netWm2(surfaceC: number, around: Surroundings): number {
    const convected = around.airWm2K * (around.airC - surfaceC);
    const radiated = EMISSIVITY * (around.incidentWm2 - radiatedWm2(surfaceC));
    return convected + radiated - EVAPORATION_J_PER_KG * this.#steamKgM2S(surfaceC, around);
  }

  pass(dtS: number, surfaceC: number, around: Surroundings): void {
    this.#steamedKgM2 += dtS * this.#steamKgM2S(surfaceC, around);
  }
}

/** A burning-down or wandering fire: everything above the weather scaled. */
export function scaled(around: Surroundings, factor: number): Surroundings {
  const floorWm2 = radiatedWm2(25);
  return {
    airWm2K: around.airWm2K,
    airC: 25 + (around.airC - 25) * factor,
    incidentWm2: floorWm2 + (around.incidentWm2 - floorWm2) * factor,
  };
}

/** What a small dry sensor beside the food shows: half of it sees the fire. */
export function sensorC(fire: Fire): number {
  let [low, high] = [0, 800];
  for (let i = 0; i < 40; i += 1) {
    const t = (low + high) / 2;
    const incident = (fire.below.incidentWm2 + fire.above.incidentWm2) / 2;
    const net = 2 * fire.below.airWm2K * (fire.below.airC - t) + EMISSIVITY * (incident - radiatedWm2(t));
    if (net > 0) low = t;
    else high = t;
  }
  return (low + high) / 2;
}
