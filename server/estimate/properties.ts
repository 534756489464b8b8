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
 * read) = 39 to 55 on the fire side against 300 degC; 15 on the open side; averaged over both faces. A closed lid
 * beside the coals: 15 to 30 (computed, from memory).
 */
const ZONES: Record<Heat, ZoneHeat> = {
  hot: { ambientC: 235, coefficientWm2K: 36 },
  medium: { ambientC: 190, coefficientWm2K: 31 },
  gentle: { ambientC: 160, coefficientWm2K: 26 },
  indirect: { ambientC: 145, coefficientWm2K: 22 },
};
const UNKNOWN_ZONE: ZoneHeat = { ambientC: 185, coefficientWm2K: 30 };

export const PRIOR = {
  kappaLogSd: KAPPA_LOG_SD,
  /** Surface coefficients in the literature range over a factor of three in one situation. */
  biotLogSd: 0.45,
  /**
   * Excess over the start that both sides feel in the mean, before steam, over the nominal one: the side away from the
   * coals has little. Assumption, calibrated with the spread on the development cooks of test/accuracy.
   */
  shareMedian: 0.83,
  shareLogSd: 0.35,
  /**
   * The most that steam can take, as a share of the excess. Water comes to a face only so fast: an oven's beef gave up
   * at most 59 to 68 % of its heat to steam (energy balance of a public student log), which is the upper end here.
   * Median: calibrated on the development cooks.
   */
  steamMedian: 0.2,
  steamLogSd: 0.7,
  /**
   * Random walk of the logarithm of the excess, per square root of a Fourier number: fires fade (e-fold 45 to 120 min,
   * from memory) and are fed, faces dry. In a slab of 26 mm this is 3 % in a minute; 2 to 5 % is usual in filters for
   * such drifts (common practice, no source). All of a round piece feels what comes over it, a slab's other half is
   * spared; by how much is calibrated on the development cooks.
   */
  wanderLogSd: { slab: 0.15, cylinder: 0.36, sphere: 0.36 },
  /** Extra spread when nothing is known of the zone. Assumption. */
  unknownZoneLogSd: 0.3,
  /** How far a second zone may differ from what the first one taught. Assumption. */
  moveLogSd: 0.3,
  /** How unlike both sides are, see drive.ts. Over coals in the open about 1; under a lid less. Assumption. */
  leanMean: 0.6,
  leanSd: 0.4,
  /** The tip is off the middle by a twentieth of the thickness. Assumption. */
  tipSd: 0.12,
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
