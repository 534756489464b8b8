/** Sea level, Pa. */
const PRESSURE_PA = 101_325;
/** Psychrometric constant at sea level, Pa/K: heat of the air's film against heat of its vapour (from memory). */
const GAMMA_PA_PER_K = 66;
/** Vapour in the air about the food, Pa: a mild day's, or a little more under a lid. Assumption. */
const AIR_PA = 1800;
/** Near boiling the film law has no end; from here on its tangent is followed. */
const TANGENT_FROM_C = 97;
/**
 * Wet share of a face (about a tenth once it has begun to dry) times the share of convection, which alone carries
 * vapour, in its coefficient (about a third). Assumption, calibrated on the development cooks of test/accuracy.
 */
const WETNESS = 0.03;

/** Saturation pressure over water, Pa (Magnus form, from memory; 12.3 kPa at 50 degC, Hyland and Wexler 12.35). */
function saturationPa(tempC: number): number {
  return 611.2 * Math.exp((17.62 * tempC) / (243.12 + tempC));
}

export type SteamCooling = { byK: number; slope: number };

/**
 * How far a moist face feels its ambient lowered by its own evaporation, K, and the change of that per degree of the
 * face. While water is there, film theory with the Lewis relation (Bird, Stewart and Lightfoot, Transport Phenomena,
 * from memory): wetness (P/gamma) ln((P - p_air)/(P - p_face)). A hot face gives off no more than comes from inside
 * (`mostK`); between both the smaller one wins smoothly (ours).
 * @param tempC face temperature; any number
 * @param mostK 0 or more; 0 = a dry face
 */
export function steamCooling(tempC: number, mostK: number): SteamCooling {
  if (!(mostK > 0)) return { byK: 0, slope: 0 };
  const wetC = Math.min(Math.max(tempC, -20), TANGENT_FROM_C);
  const vapourPa = saturationPa(wetC);
  const scaleK = (WETNESS * PRESSURE_PA) / GAMMA_PA_PER_K;
  const risePaPerK = (vapourPa * 17.62 * 243.12) / (243.12 + wetC) ** 2;
  const slope = (scaleK * risePaPerK) / (PRESSURE_PA - vapourPa);
  const freeK =
    scaleK * Math.log((PRESSURE_PA - AIR_PA) / (PRESSURE_PA - vapourPa)) + slope * Math.max(tempC - wetC, 0);
  if (!(freeK > 0)) return { byK: 0, slope: 0 };
  const share = mostK / (mostK + freeK);
  return { byK: share * freeK, slope: share * share * slope };
}
