/**
 * Type K, reference junction at 0 degC: [degC, mV as tabulated, mV in more digits, degC that the inverse polynomial gives for the
 * tabulated mV]. Table: NIST Monograph 175 (1993) / NIST Standard Reference Database 60, read in several published copies
 * (-50 to 227 degC; 300 and 350 degC in two more that quote it; the ends of ranges at 500 degC; 400 degC is from memory).
 * The last two columns were worked out from the published coefficients, separately from this code.
 */
export const TYPE_K_TABLE: readonly (readonly [
  tempC: number,
  tableMv: number,
  mv: number,
  inverseC: number,
])[] = [
  [-50, -1.889, -1.889383, -49.984],
  [-10, -0.392, -0.391854, -10.0],
  [0, 0.0, 0.0, 0.0],
  [5, 0.198, 0.197851, 4.968],
  [10, 0.397, 0.396862, 9.957],
  [20, 0.798, 0.79812, 19.97],
  [25, 1.0, 1.000242, 24.984],
  [30, 1.203, 1.203275, 29.999],
  [40, 1.612, 1.611792, 40.034],
  [50, 2.023, 2.023078, 50.031],
  [60, 2.436, 2.436472, 60.01],
  [63, 2.561, 2.560794, 63.021],
  [75, 3.059, 3.058917, 74.993],
  [80, 3.267, 3.266642, 79.991],
  [90, 3.682, 3.681879, 89.973],
  [100, 4.096, 4.09623, 99.963],
  [120, 4.92, 4.919882, 119.995],
  [150, 6.138, 6.138344, 150.021],
  [180, 7.34, 7.340023, 180.009],
  [200, 8.138, 8.138473, 199.972],
  [300, 12.209, 12.208566, 300.024],
  [350, 14.293, 14.293149, 349.981],
  [400, 16.397, 16.397142, 400.002],
  [500, 20.644, 20.644286, 499.98],
];

/** Every ten degrees of the same table, 0 to 120 degC, mV. */
export const TYPE_K_TENS_MV = [
  0, 0.397, 0.798, 1.203, 1.612, 2.023, 2.436, 2.851, 3.267, 3.682, 4.096, 4.509, 4.92,
] as const;

/**
 * With a warm cold junction: [measured mV, cold junction degC, hot end degC, accepted degC]. The first two are worked examples of two
 * published Python packages on this thermocouple; the third must be so, because without a voltage both ends are equally warm.
 */
export const TYPE_K_COLD_JUNCTION: readonly (readonly [
  mv: number,
  coldC: number,
  hotC: number,
  withinC: number,
])[] = [
  [1.1, 23, 49.907928, 0.0005],
  [4.096, 25, 124.31, 0.001],
  [0, 21.5, 21.5, 0.0005],
];
