/**
 * Pt100 of IEC 60751: [degC, ohm as tabulated, ohm in more digits, degC of the rounded ohm].
 * The second column was read in two published copies of the standard's table (a sensor maker's reference table and a printed
 * Pt100 table); the other two are the equation worked out separately from this code, to the digits given.
 */
export const PT100_TABLE: readonly (readonly [
  tempC: number,
  tableOhm: number,
  ohm: number,
  inverseC: number,
])[] = [
  [-200, 18.52, 18.5201, -200.0],
  [-100, 60.26, 60.2558, -99.99],
  [-40, 84.27, 84.2707, -40.002],
  [-20, 92.16, 92.1599, -20.0],
  [-10, 96.09, 96.0859, -9.99],
  [0, 100.0, 100.0, 0.0],
  [10, 103.9, 103.9025, 9.994],
  [20, 107.79, 107.7935, 19.991],
  [30, 111.67, 111.6729, 29.992],
  [40, 115.54, 115.5408, 39.998],
  [50, 119.4, 119.3971, 50.007],
  [60, 123.24, 123.2419, 59.995],
  [80, 130.9, 130.8968, 80.008],
  [90, 134.71, 134.7069, 90.008],
  [100, 138.51, 138.5055, 100.012],
  [120, 146.07, 146.068, 120.005],
  [150, 157.33, 157.3251, 150.013],
  [200, 175.86, 175.856, 200.011],
  [250, 194.1, 194.0981, 250.005],
  [300, 212.05, 212.0515, 299.996],
  [400, 247.09, 247.092, 399.994],
  [600, 313.71, 313.708, 600.006],
];

/** The equation at points between the rows, worked out separately from this code: [degC, R0 ohm, ohm]. */
export const PT_BETWEEN: readonly (readonly [tempC: number, r0Ohm: number, ohm: number])[] = [
  [4, 100, 101.5624],
  [63, 100, 124.3931],
  [74, 100, 128.6052],
  [850, 100, 390.4811],
  [4, 1000, 1015.62],
  [63, 1000, 1243.93],
];
