import type { Food, Heat } from '../contract/food.ts';

/**
 * Thermal diffusivity, m2/s.
 * Choi & Okos 1986 mixing (ASHRAE Handbook Refrigeration, thermal properties of foods; coefficients read in public
 * codes) at 40 degC with parallel conductivity: beef 80/20 1.387e-7, chicken breast 1.438e-7, pork loin 1.430e-7,
 * salmon 1.400e-7. Parallel conductivity is 15 to 25 % too high for fatty minced meat (Pan & Singh 2001, LWT 34:437,
 * read), hence the lower minced values. Cheese, vegetable and stew: assumption.
 */
const DIFFUSIVITY_M2_PER_S: Record<Food, number> = {
  beef: 1.35e-7,
  'beef-minced': 1.25e-7,
  lamb: 1.35e-7,
  'lamb-minced': 1.25e-7,
  pork: 1.38e-7,
  'pork-minced': 1.28e-7,
  chicken: 1.4e-7,
  turkey: 1.4e-7,
  fish: 1.38e-7,
  vegetable: 1.4e-7,
  cheese: 1.25e-7,
  stew: 1.45e-7,
};

/**
 * Spread of ln(alpha / L^2): 15 % for alpha, and 12 % for a thickness that a cook measures, which counts twice
 * because it is squared. The 15 % covers the table above; the 12 % is an assumption.
 */
const KAPPA_LOG_SD = Math.hypot(0.15, 2 * 0.12);

/** W/(m K); Choi & Okos at 40 degC give 0.44 to 0.54, ground beef measured 0.35 to 0.41 (Pan & Singh 2001). */
const CONDUCTIVITY_W_PER_MK = 0.47;

export type ZoneHeat = {
  /** What a sensor beside the food would show, degC. */
  ambientC: number;
  /** Mean surface coefficient over all faces, W/(m2 K), radiation included. */
  coefficientWm2K: number;
};

/**
 * Ambient: hand-test tables of cook guides (hot 204 to 232, medium 175 to 190, low 150 to 177 degC; read; they
 * disagree by a factor of two) and 110 to 175 degC for indirect (from memory).
 * Coefficient: charcoal delivers 11 kW/m2 at 100 mm, three quarters of it radiation (J. Home Econ. Japan 55(9),
 * read) = 39 to 55 on the fire side against 300 degC; 15 on the open side; averaged over both faces, and raised by
 * about a third because a wet surface answers more steeply than a dry one (assumption).
 */
const ZONES: Record<Heat, ZoneHeat> = {
  hot: { ambientC: 235, coefficientWm2K: 50 },
  medium: { ambientC: 190, coefficientWm2K: 42 },
  gentle: { ambientC: 160, coefficientWm2K: 34 },
  indirect: { ambientC: 145, coefficientWm2K: 30 },
};
const UNKNOWN_ZONE: ZoneHeat = { ambientC: 185, coefficientWm2K: 40 };

export const PRIOR = {
  kappaLogSd: KAPPA_LOG_SD,
  /** Surface coefficients in the literature range over a factor of three in one situation. */
  biotLogSd: 0.55,
  /**
   * Effective over nominal ambient, both as degrees above the start. Evaporation takes 59 to 68 % of the heat in an
   * oven (beef, 15 g of 143 g lost against 24 kJ sensible; energy balance of a public student log): about a half.
   */
  shareMedian: 0.74,
  shareLogSd: 0.25,
  /** Extra spread when nothing is known of the zone. Assumption. */
  unknownZoneLogSd: 0.3,
  /** How far a second zone may differ from what the first one taught. Assumption. */
  moveLogSd: 0.3,
  /** Loss of drive as the far side cools behind, see drive.ts. Assumption; about 0 to 0.4 in the flip tables. */
  turnDipMean: 0.06,
  turnDipSd: 0.06,
  /** A tip a twentieth of the thickness off the middle sees some degrees of the odd part. Assumption. */
  tipLeanSd: 0.03,
  /** Loss of drive while the lid is open. Assumption. */
  lidDipMean: 0.3,
  lidDipSd: 0.2,
} as const;

/** From the cooler, or from the bench for what does not need cooling. Assumption. */
const CHILLED_START = { tempC: 6, sdC: 3 };
const BENCH_START = { tempC: 15, sdC: 5 };

export function startPrior(food: Food): { tempC: number; sdC: number } {
  return food === 'vegetable' || food === 'cheese' ? BENCH_START : CHILLED_START;
}

export function zoneHeat(zone: Heat | null): ZoneHeat {
  return zone === null ? UNKNOWN_ZONE : ZONES[zone];
}

/** Half thickness or radius, m. */
export function halfThicknessM(thicknessMm: number): number {
  return thicknessMm / 2000;
}

/** alpha / L^2, per second: one unit of Fourier number takes 1/kappa seconds. */
export function kappaPerS(food: Food, thicknessMm: number): number {
  return DIFFUSIVITY_M2_PER_S[food] / halfThicknessM(thicknessMm) ** 2;
}

/** h L / k, dimensionless. */
export function biotNumber(zone: Heat | null, thicknessMm: number): number {
  return (zoneHeat(zone).coefficientWm2K * halfThicknessM(thicknessMm)) / CONDUCTIVITY_W_PER_MK;
}
