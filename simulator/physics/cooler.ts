import { FUSION_J_KG, ICE_CP } from './constants.ts';

export type CoolerSpec = {
  /** Conductance of the wall, outside to inside air, W/K. */
  wallWK: number;
  /** Air inside with the liner's skin, J/K. */
  airJK: number;
  /** Food's surface to the air, W/K. */
  foodAirWK: number;
  foodJKgK: number;
  /** Ice lies on the food and in the air; both contacts shrink with the ice, W/K per kg. */
  iceFoodWKPerKg: number;
  iceAirWKPerKg: number;
  /** More ice than this touches nothing new, kg. */
  iceTouchingKg: number;
  /** Exchange with the air outside while the lid is open, W/K. */
  openWK: number;
};
export type Cooler = { airC: number; foodC: number; foodKg: number; iceC: number; iceKg: number };
type Outside = { ambientC: number; isOpen: boolean };

/** Longest explicit step, s: well below the air's time constant. */
const STEP_MAX_S = 1;

function pass(spec: CoolerSpec, cooler: Cooler, outside: Outside, stepS: number): number {
  const touchingKg = Math.min(cooler.iceKg, spec.iceTouchingKg);
  const leakW = (spec.wallWK + (outside.isOpen ? spec.openWK : 0)) * (outside.ambientC - cooler.airC);
  const airFoodW = cooler.foodKg > 0 ? spec.foodAirWK * (cooler.airC - cooler.foodC) : 0;
  const airIceW = spec.iceAirWKPerKg * touchingKg * (cooler.airC - cooler.iceC);
  const foodIceW = cooler.foodKg > 0 ? spec.iceFoodWKPerKg * touchingKg * (cooler.foodC - cooler.iceC) : 0;
  cooler.airC += ((leakW - airFoodW - airIceW) * stepS) / spec.airJK;
  if (cooler.foodKg > 0) {
    cooler.foodC += ((airFoodW - foodIceW) * stepS) / (cooler.foodKg * spec.foodJKgK);
  }
  warmIce(cooler, (airIceW + foodIceW) * stepS);
  return leakW * stepS;
}

/** Ice warms to 0 degC, then melts; its water is drained. */
function warmIce(cooler: Cooler, heatJ: number): void {
  if (cooler.iceKg <= 0) return;
  const toZeroJ = -cooler.iceC * ICE_CP * cooler.iceKg;
  if (heatJ < toZeroJ) {
    cooler.iceC += heatJ / (ICE_CP * cooler.iceKg);
    return;
  }
  cooler.iceC = 0;
  cooler.iceKg = Math.max(0, cooler.iceKg - (heatJ - toZeroJ) / FUSION_J_KG);
}

/**
 * One stretch of time in a cooler with ice, food and air.
 * @param stepS length, s; divided as needed
 * @returns heat that came in from outside, J
 */
export function stepCooler(spec: CoolerSpec, cooler: Cooler, outside: Outside, stepS: number): number {
  const parts = Math.max(1, Math.ceil(stepS / STEP_MAX_S));
  let cameInJ = 0;
  for (let part = 0; part < parts; part += 1) cameInJ += pass(spec, cooler, outside, stepS / parts);
  return cameInJ;
}

/** Lays ice of 0 degC on the food; what is left of the old ice takes its temperature. */
export function addIce(cooler: Cooler, iceKg: number): void {
  if (!(iceKg > 0)) throw new RangeError(`iceKg: expected above 0, got ${String(iceKg)}`);
  cooler.iceC = (cooler.iceC * cooler.iceKg) / (cooler.iceKg + iceKg);
  cooler.iceKg += iceKg;
}
