import type { Rng } from '../rng.ts';
import { normal } from '../rng.ts';
import { EMISSIVITY, KELVIN } from './constants.ts';
import type { Around } from './body.ts';
import type { Face, Skin, Surroundings } from './face.ts';
import { settleFace } from './face.ts';

/** Coals put under a zone; `size` 1 is a full bed. */
export type Charge = { atMin: number; size: number };
export type ZoneSpec = {
  charges: readonly Charge[];
  /** Share of the full view of the coals: 1 right above them, near 0 beside them. */
  direct: number;
  lidDown: boolean;
  /** Share of the rise over the evening's air that the zone's sensor shows: it is where it is. */
  sensorShare: number;
};
export type Zone = {
  /** Slow random share by which the fire is stronger or weaker. */
  flicker: number;
  lidDown: boolean;
  chamberC: number;
  metalC: number;
};
export type Weather = { ambientC: number; vapourPa: number };

/** Burn-down: no time constant of a charcoal bed is published; assumption: up in 20 min, level for 30 min, then e-fold 80 min. */
const RISE_MIN = 20;
const LEVEL_MIN = 30;
const FADE_MIN = 80;

/** Charcoal at about 750 degC gives 11 kW/m2 at 100 mm, three quarters of it by radiation (J. Home Econ. Japan 55(9), abstract, read). */
const BED_C = 750;
const BED_FACTOR = 0.133;
/** The rest of that flux: gas about 140 K above the air at h 20 W/(m2 K); split is an assumption. */
const GAS_RISE_K = 140;
const GAS_CONVECTION = 20;
/** Walls of the grill as the underside sees them; assumption. */
const WALL_FACTOR = 0.5;
const WALL_RISE_K = 110;
/** Above an open grill: a plume, and the evening; assumption. */
const PLUME_RISE_K = 25;
const OPEN_CONVECTION = 10;
/** Under a lid: 5 to 10 W/(m2 K) by convection, 110 to 175 degC beside the coals; from memory, read second-hand. */
const CHAMBER_RISE_K = 118;
const CHAMBER_CONVECTION = 10;
const LID_COOLER_K = 15;
/** Vapour under a lid, Pa: smoke gas and the food's own water, about 0.03 kg/kg; assumption. */
const CHAMBER_VAPOUR_PA = 4600;
/** Lid open 1 min: back in 1 to 2 min; 5 min: 10 min to reheat (a published lid trial, read second-hand): air 30 s, metal 8 min. */
const AIR_TAU_S = 30;
const METAL_TAU_S = 480;
const METAL_SHARE = 0.6;
const OPEN_METAL_SHARE = 0.35;
const OPEN_AIR_SHARE = 0.2;
/** A small sensor above the grate; assumption. */
const SENSOR_CONVECTION = 30;
/** Gusts and shifting coals: 4 % over about 90 s; assumption. */
const FLICKER_SD = 0.04;
const FLICKER_TAU_S = 90;

const DRY: Skin = { wetness: 0, waterKgM2: 0, supplyKgM2S: 0, supplyKgM2: 0 };

/** How strongly a charge burns so many minutes after it was lit, 0 to 1. */
export function burn(sinceMin: number): number {
  if (!(sinceMin > 0)) return 0;
  if (sinceMin < RISE_MIN) return (sinceMin / RISE_MIN) ** 2 * (3 - (2 * sinceMin) / RISE_MIN);
  if (sinceMin <= RISE_MIN + LEVEL_MIN) return 1;
  return Math.exp(-(sinceMin - RISE_MIN - LEVEL_MIN) / FADE_MIN);
}

/** Strength of the fire under a zone without its flicker; 1 is a full bed. */
export function intensity(spec: ZoneSpec, minute: number): number {
  return spec.charges.reduce((sum, charge) => sum + charge.size * burn(minute - charge.atMin), 0);
}

export function createZone(spec: ZoneSpec, weather: Weather): Zone {
  return { flicker: 0, lidDown: spec.lidDown, chamberC: weather.ambientC, metalC: weather.ambientC };
}

type ZoneMoment = { minute: number; weather: Weather; rng: Rng };

export function stepZone(
  spec: ZoneSpec,
  zone: Zone,
  { minute, weather, rng }: ZoneMoment,
  stepS: number,
): void {
  const keep = Math.exp(-stepS / FLICKER_TAU_S);
  zone.flicker = zone.flicker * keep + FLICKER_SD * Math.sqrt(1 - keep ** 2) * normal(rng);
  const fullC = CHAMBER_RISE_K * intensity(spec, minute) * (1 + zone.flicker);
  const metalGoalC = weather.ambientC + fullC * (zone.lidDown ? 1 : OPEN_METAL_SHARE);
  zone.metalC += (metalGoalC - zone.metalC) * (1 - Math.exp(-stepS / METAL_TAU_S));
  const airGoalC = zone.lidDown
    ? METAL_SHARE * zone.metalC + (1 - METAL_SHARE) * (weather.ambientC + fullC)
    : weather.ambientC + fullC * OPEN_AIR_SHARE;
  zone.chamberC += (airGoalC - zone.chamberC) * (1 - Math.exp(-stepS / AIR_TAU_S));
}

/** What food on this zone meets from below and from above. */
export function aroundFood(spec: ZoneSpec, zone: Zone, minute: number, weather: Weather): Around {
  const strength = Math.max(0, intensity(spec, minute) * (1 + zone.flicker));
  const bed = {
    tempC: (BED_C + KELVIN) * strength ** 0.25 - KELVIN,
    factor: BED_FACTOR * spec.direct,
  };
  const { ambientC, vapourPa } = weather;
  if (zone.lidDown) {
    const air = { airC: zone.chamberC, convectionWm2K: CHAMBER_CONVECTION, vapourPa: CHAMBER_VAPOUR_PA };
    return {
      below: { ...air, radiant: [bed, { tempC: zone.metalC, factor: EMISSIVITY - bed.factor }] },
      above: { ...air, radiant: [{ tempC: zone.metalC - LID_COOLER_K, factor: EMISSIVITY }] },
    };
  }
  const beside = strength * spec.direct;
  return {
    below: {
      airC: ambientC + GAS_RISE_K * beside,
      convectionWm2K: GAS_CONVECTION,
      radiant: [bed, { tempC: ambientC + WALL_RISE_K * strength, factor: WALL_FACTOR }],
      vapourPa,
    },
    above: {
      airC: ambientC + PLUME_RISE_K * beside,
      convectionWm2K: OPEN_CONVECTION,
      radiant: [{ tempC: ambientC, factor: EMISSIVITY }],
      vapourPa,
    },
  };
}

/** What the zone's sensor tends to: a small dry thing in the gas above the coals, under the sky or the lid, and its misplacement. */
export function sensorC(spec: ZoneSpec, { below, above }: Around, ambientC: number): number {
  const gas = { airC: below.airC, convectionWm2K: SENSOR_CONVECTION, vapourPa: below.vapourPa };
  const both: Surroundings[] = [
    { ...gas, radiant: below.radiant },
    { ...gas, radiant: above.radiant },
  ];
  const sensor: Face = { tempC: below.airC, waterKgM2: 0, lostKgM2: 0 };
  settleFace(sensor, DRY, both, { conductanceWm2K: 0, tempC: 0 });
  return ambientC + spec.sensorShare * (sensor.tempC - ambientC);
}
