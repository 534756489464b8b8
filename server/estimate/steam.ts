/** Sea level, Pa. */
const PRESSURE_PA = 101_325;
/** Psychrometric constant at sea level, Pa/K: heat of the air's film against heat of its vapour (from memory). */
const GAMMA_PA_PER_K = 66;
/** Vapour in the air about the food, Pa: a mild day's air, or a little more under a lid. Assumption. */
const AIR_PA = 1800;
/** Near boiling the film law has no end; from here on its tangent is followed. */
const LINEAR_FROM_C = 97;

/** Saturation pressure over water, Pa (Magnus form, from memory; 12.3 kPa at 50 degC, steam tables 12.35). */
function saturationPa(tempC: number): number {
  return 611.2 * Math.exp((17.62 * tempC) / (243.12 + tempC));
}

export type SteamCooling = { excessK: number; slope: number };

/**
 * How far a freely wet face feels its ambient lowered by its own evaporation, K, and the change of that with the
 * face's temperature. Film theory with the Lewis relation (Bird, Stewart and Lightfoot, Transport Phenomena, from
 * memory): (P/gamma) ln((P - p_air)/(P - p_face)). It bends upwards: a face near 90 degC loses ten times what one of
 * 40 degC does, which is why cores slow down so much towards the end.
 * @param tempC face temperature, -50 to 1000 degC
 */
export function steamCooling(tempC: number): SteamCooling {
  const wetC = Math.min(Math.max(tempC, -20), LINEAR_FROM_C);
  const vapourPa = saturationPa(wetC);
  const risePaPerK = (vapourPa * 17.62 * 243.12) / (243.12 + wetC) ** 2;
  const scale = PRESSURE_PA / GAMMA_PA_PER_K;
  const slope = (scale * risePaPerK) / (PRESSURE_PA - vapourPa);
  const excessK = scale * Math.log((PRESSURE_PA - AIR_PA) / (PRESSURE_PA - vapourPa));
  return { excessK: excessK + slope * (tempC - wetC), slope };
}
