/** IAPWS-IF97 region 4 reducing pressure, Pa. */
const REDUCING_PA = 1e6;
/** Triple point to critical point, Pa: where the region 4 equation holds (IAPWS R7-97(2012), section 8). */
const LOWEST_PA = 611.213;
const HIGHEST_PA = 22.064e6;
/**
 * Coefficients n1 to n10 of the region 4 equations: IAPWS R7-97(2012), table 34. From memory; the three check values of
 * table 36 come out to 1e-4 K with them.
 */
const N = {
  n1: 0.11670521452767e4,
  n2: -0.72421316703206e6,
  n3: -0.17073846940092e2,
  n4: 0.1202082470247e5,
  n5: -0.32325550322333e7,
  n6: 0.1491510861353e2,
  n7: -0.48232657361591e4,
  n8: 0.40511340542057e6,
  n9: -0.23855557567849,
  n10: 0.65017534844798e3,
} as const;

/** International Standard Atmosphere (ISO 2533:1975) below 11 km: pressure at the sea, fall per metre, exponent. */
const SEA_LEVEL_PA = 101_325;
const FALL_PER_M = 2.25577e-5;
const EXPONENT = 5.25588;
/** Where the standard atmosphere's lowest layer is given, m. */
const LOWEST_M = -5_000;
const HIGHEST_M = 11_000;

const ZERO_CELSIUS_K = 273.15;

/**
 * The temperature at which water and its vapour are in balance: IAPWS-IF97 region 4, backward equation (equation 31).
 *
 * @param pressurePa - 611.213 to 22,064,000 Pa
 * @returns K
 * @throws RangeError outside that range
 */
export function saturationK(pressurePa: number): number {
  if (!(pressurePa >= LOWEST_PA && pressurePa <= HIGHEST_PA)) {
    throw new RangeError(`pressurePa: expected ${LOWEST_PA} to ${HIGHEST_PA} Pa, got ${String(pressurePa)}`);
  }
  const beta = (pressurePa / REDUCING_PA) ** 0.25;
  const e = beta * beta + N.n3 * beta + N.n6;
  const f = N.n1 * beta * beta + N.n4 * beta + N.n7;
  const g = N.n2 * beta * beta + N.n5 * beta + N.n8;
  const d = (2 * g) / (-f - Math.sqrt(f * f - 4 * e * g));
  return (N.n10 + d - Math.sqrt((N.n10 + d) ** 2 - 4 * (N.n9 + N.n10 * d))) / 2;
}

/**
 * Air pressure of the International Standard Atmosphere.
 *
 * @param altitudeM - height above the sea, -5,000 to 11,000 m
 * @returns Pa
 * @throws RangeError outside that range
 */
export function standardPressurePa(altitudeM: number): number {
  if (!(altitudeM >= LOWEST_M && altitudeM <= HIGHEST_M)) {
    throw new RangeError(`altitudeM: expected ${LOWEST_M} to ${HIGHEST_M} m, got ${String(altitudeM)}`);
  }
  return SEA_LEVEL_PA * (1 - FALL_PER_M * altitudeM) ** EXPONENT;
}

/**
 * Where water boils at a height, in standard weather. A deep low moves it by about 1 degC, so a check near the edge of its
 * window says little on such a day.
 *
 * @param altitudeM - height above the sea, -5,000 to 11,000 m
 * @returns degC
 * @throws RangeError outside that range
 */
export function boilingPointC(altitudeM: number): number {
  return saturationK(standardPressurePa(altitudeM)) - ZERO_CELSIUS_K;
}
