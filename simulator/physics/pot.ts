import { VAPORISATION_J_KG } from './constants.ts';
import { wetFlux } from './moisture.ts';

export type PotSpec = {
  foodKg: number;
  foodJKgK: number;
  /** The vessel and the layer at its wall, J/K. */
  vesselJK: number;
  foodVesselWK: number;
  /** Vessel and wrapping to the air outside, W/K. */
  lossWK: number;
  burnerW: number;
  /** Free surface while the lid is off, m2. */
  openM2: number;
};
export type Pot = { foodC: number; vesselC: number };
type Outside = { ambientC: number; vapourPa: number; isOpen: boolean };

/** Still air over an open pot, W/(m2 K); assumption. */
const OPEN_CONVECTION = 8;

/** One short step, s, of a pot on a low burner; returns the net heat received, J. */
export function stepPot(spec: PotSpec, pot: Pot, outside: Outside, stepS: number): number {
  const innerW = spec.foodVesselWK * (pot.foodC - pot.vesselC);
  const lossW = spec.lossWK * (pot.vesselC - outside.ambientC);
  const steamKgM2S = outside.isOpen ? Math.max(0, wetFlux(pot.foodC, outside.vapourPa, OPEN_CONVECTION)) : 0;
  const openW = outside.isOpen
    ? spec.openM2 * (OPEN_CONVECTION * (pot.foodC - outside.ambientC) + steamKgM2S * VAPORISATION_J_KG)
    : 0;
  pot.foodC -= ((innerW + openW) * stepS) / (spec.foodKg * spec.foodJKgK);
  pot.vesselC += ((innerW + spec.burnerW - lossW) * stepS) / spec.vesselJK;
  return (spec.burnerW - lossW - openW) * stepS;
}
