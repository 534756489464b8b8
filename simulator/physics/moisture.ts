import { AIR_CP, AIR_PRESSURE_PA, KELVIN, LEWIS_FACTOR, VAPOUR_RATIO } from './constants.ts';

/** Highest mass fraction of vapour at a wet face: at 100 degC the film theory has no end. */
const MASS_FRACTION_MAX = 0.995;

/**
 * Saturation pressure over liquid water, Pa.
 * @param tempC 0 to 200 degC; warmer is taken as 200
 * @remarks Hyland and Wexler 1983 as in the ASHRAE Handbook, Fundamentals, "Psychrometrics"; coefficients from memory,
 * confirmed by the check value at 50 degC.
 */
export function saturationPa(tempC: number): number {
  const kelvin = Math.min(Math.max(tempC, 0), 200) + KELVIN;
  return Math.exp(
    -5.8002206e3 / kelvin +
      1.3914993 -
      4.8640239e-2 * kelvin +
      4.1764768e-5 * kelvin ** 2 -
      1.4452093e-8 * kelvin ** 3 +
      6.5459673 * Math.log(kelvin),
  );
}

function massFraction(vapourPa: number): number {
  const pressure = Math.min(Math.max(vapourPa, 0), AIR_PRESSURE_PA);
  const share = (VAPOUR_RATIO * pressure) / (AIR_PRESSURE_PA - (1 - VAPOUR_RATIO) * pressure);
  return Math.min(share, MASS_FRACTION_MAX);
}

/**
 * Water leaving a fully wet face, kg/(m2 s); negative when dew forms.
 * @param convectionWm2K heat transfer coefficient of the air at the face, W/(m2 K)
 * @remarks Film theory with the Lewis relation (Bird, Stewart and Lightfoot, "Transport Phenomena"; from memory).
 */
export function wetFlux(faceC: number, airVapourPa: number, convectionWm2K: number): number {
  const face = massFraction(saturationPa(faceC));
  const air = massFraction(airVapourPa);
  return (convectionWm2K / (AIR_CP * LEWIS_FACTOR)) * Math.log((1 - air) / (1 - face));
}
