/** Beta 3950 K, 10 kohm at 25 degC: [degC, ohm] of the beta equation, worked out separately from this code. */
export const BETA = { r0Ohm: 10_000, t0C: 25, beta: 3950 };
export const BETA_OHM: readonly (readonly [tempC: number, ohm: number])[] = [
  [0, 33620.6],
  [4, 27287.54],
  [25, 10000],
  [60, 2486.16],
  [63, 2236.53],
  [74, 1541.24],
  [100, 697.52],
  [150, 199.68],
];
export const BETA_TEMP_C: readonly (readonly [ohm: number, tempC: number])[] = [
  [5000, 41.4602],
  [1000, 87.7197],
  [100, 183.8569],
];

/** Coefficients as printed on the data sheet of a common 10 kohm module; the temperatures worked out separately from this code. */
export const SHEET = { a: 1.129148e-3, b: 2.34125e-4, c: 8.76741e-8 };
export const SHEET_TEMP_C: readonly (readonly [ohm: number, tempC: number])[] = [
  [32650, 0.0002],
  [10000, 24.9997],
  [5000, 41.5721],
  [1000, 87.1681],
  [100, 178.1347],
];
export const SHEET_OHM: readonly (readonly [tempC: number, ohm: number])[] = [
  [60, 2487.107],
  [100, 678.424],
  [150, 184.534],
];

/**
 * A published thermistor table (manual of a laboratory temperature controller, table A.1): ohm and degC as printed. The coefficients
 * go through its rows at 0, 25 and 50 degC, so that the rows at 10, 20 and 30 degC test the equation. Its row of 5331 ohm
 * at 40 degC is left out: a misprint, 0.5 degC off the curve of all others.
 */
export const PRINTED = { a: 1.1041591e-3, b: 2.3891795e-4, c: 6.931627e-8 };
export const PRINTED_TABLE: readonly (readonly [ohm: number, tempC: number])[] = [
  [32128, 0],
  [19549, 10],
  [12262, 20],
  [9814, 25],
  [7908, 30],
  [3542, 50],
];
