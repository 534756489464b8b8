/**
 * Callendar-Van Dusen coefficients of industrial platinum (alpha 0.003851): IEC 60751:2008, read in two published
 * reference tables that quote it, not in the standard itself. Per degC, degC^2, degC^4.
 */
const A = 3.9083e-3;
const B = -5.775e-7;
const C = -4.183e-12;
/** Range of the standard's function, degC. */
const LOWEST_C = -200;
const HIGHEST_C = 850;
/** OURS: so far beyond an end still counts as the end, so that the tables' own rounded last rows are inside. degC. */
const EDGE_C = 0.05;
const NEWTON_STEPS = 4;

/**
 * Resistance of a platinum sensor: R0 (1 + At + Bt^2), below 0 degC with C (t - 100) t^3 added. IEC 60751.
 *
 * @param tempC  -200 to 850 degC
 * @param r0Ohm  resistance at 0 degC: 100 for Pt100, 1000 for Pt1000
 * @returns ohm, or null when either is outside its range
 */
export function platinumOhm(tempC: number, r0Ohm: number): number | null {
  if (!isInRange(tempC) || !isResistance(r0Ohm)) return null;
  return r0Ohm * ratio(tempC);
}

/**
 * Temperature of a platinum sensor from its resistance: solved exactly from 0 degC up, by Newton's method below.
 *
 * @param ohm  without the resistance of the leads
 * @param r0Ohm  resistance at 0 degC: 100 for Pt100, 1000 for Pt1000
 * @returns degC from -200 to 850, or null: a broken wire, a short circuit and a wrong type of sensor give no number
 */
export function platinumTempC(ohm: number, r0Ohm: number): number | null {
  if (!isResistance(ohm) || !isResistance(r0Ohm)) return null;
  const wanted = ohm / r0Ohm;
  let tempC = (-A + Math.sqrt(A * A - 4 * B * (1 - wanted))) / (2 * B);
  if (wanted < 1) {
    for (let step = 0; step < NEWTON_STEPS; step++) tempC -= (ratio(tempC) - wanted) / slope(tempC);
  }
  return isInRange(tempC) ? tempC : null;
}

function ratio(tempC: number): number {
  const above = 1 + A * tempC + B * tempC * tempC;
  return tempC >= 0 ? above : above + C * (tempC - 100) * tempC ** 3;
}

function slope(tempC: number): number {
  const above = A + 2 * B * tempC;
  return tempC >= 0 ? above : above + C * (4 * tempC - 300) * tempC * tempC;
}

function isResistance(ohm: number): boolean {
  return ohm > 0 && ohm < Infinity;
}

function isInRange(tempC: number): boolean {
  return tempC >= LOWEST_C - EDGE_C && tempC <= HIGHEST_C + EDGE_C;
}
