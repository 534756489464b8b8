const ZERO_C_IN_K = 273.15; // exact by definition of the degree Celsius, SI Brochure 9th ed. (2019)
/** OURS: what a food or fire thermistor can be asked for, degC. Beyond it a curve is extrapolation, or a wire is broken. */
const LOWEST_C = -60;
const HIGHEST_C = 350;

/** `beta` in K, `r0Ohm` the resistance at `t0C`. */
export type BetaCurve = { r0Ohm: number; t0C: number; beta: number };
/** Coefficients of 1/T = a + b ln R + c (ln R)^3, with T in K and R in ohm. */
export type SteinhartHartCurve = { a: number; b: number; c: number };
/** A thermistor and a fixed resistor between supply and ground, their middle read by a converter that counts to `fullScale`. */
export type Divider = { seriesOhm: number; fullScale: number; sensorTo: 'ground' | 'supply' };

/**
 * Temperature of an NTC thermistor by its beta: 1/T = 1/T0 + ln(R/R0)/beta. Good near T0; several degrees off above 150 degC.
 *
 * @returns degC from -60 to 350, or null: open, shorted, no number, or a curve that cannot be
 */
export function betaTempC(ohm: number, { r0Ohm, t0C, beta }: BetaCurve): number | null {
  if (!isResistance(ohm)) return null;
  return celsius(1 / (t0C + ZERO_C_IN_K) + Math.log(ohm / r0Ohm) / beta);
}

/** Resistance of an NTC thermistor by its beta, ohm; null outside -60 to 350 degC. */
export function betaOhm(tempC: number, { r0Ohm, t0C, beta }: BetaCurve): number | null {
  if (!isInRange(tempC)) return null;
  return resistance(r0Ohm * Math.exp(beta * (1 / (tempC + ZERO_C_IN_K) - 1 / (t0C + ZERO_C_IN_K))));
}

/**
 * Temperature of an NTC thermistor by the Steinhart-Hart equation (Deep-Sea Research 15, 1968, 497; from memory).
 *
 * @returns degC from -60 to 350, or null: open, shorted, no number, or a curve that cannot be
 */
export function steinhartHartTempC(ohm: number, { a, b, c }: SteinhartHartCurve): number | null {
  if (!isResistance(ohm)) return null;
  const lnR = Math.log(ohm);
  return celsius(a + b * lnR + c * lnR ** 3);
}

/** The same the other way, by the real root of the cubic in ln R, ohm; null outside -60 to 350 degC. */
export function steinhartHartOhm(tempC: number, { a, b, c }: SteinhartHartCurve): number | null {
  if (!isInRange(tempC)) return null;
  const rest = a - 1 / (tempC + ZERO_C_IN_K);
  if (c === 0) return resistance(Math.exp(-rest / b));
  const x = rest / (2 * c);
  const y = Math.sqrt((b / (3 * c)) ** 3 + x * x);
  return resistance(Math.exp(Math.cbrt(y - x) - Math.cbrt(y + x)));
}

/**
 * Resistance of a sensor in a divider from what the converter counted.
 *
 * @param count  0 to `fullScale`
 * @returns ohm, or null at either end (open or shorted) and beyond
 */
export function dividerOhm(count: number, { seriesOhm, fullScale, sensorTo }: Divider): number | null {
  if (!(count > 0 && count < fullScale)) return null;
  const share = count / (fullScale - count);
  return resistance(sensorTo === 'ground' ? seriesOhm * share : seriesOhm / share);
}

function celsius(perKelvin: number): number | null {
  const tempC = 1 / perKelvin - ZERO_C_IN_K;
  return isInRange(tempC) ? tempC : null;
}

function resistance(ohm: number): number | null {
  return isResistance(ohm) ? ohm : null;
}

function isResistance(ohm: number): boolean {
  return ohm > 0 && ohm < Infinity;
}

function isInRange(tempC: number): boolean {
  return tempC >= LOWEST_C && tempC <= HIGHEST_C;
}
