/**
 * Reference functions of type K thermocouples on ITS-90, NIST Monograph 175 (1993) and NIST Standard Reference Database 60:
 * millivolt with the reference junction at 0 degC. Read in full digits in published copies.
 */
const BELOW_ZERO = [
  0, 0.39450128025e-1, 0.23622373598e-4, -0.32858906784e-6, -0.49904828777e-8, -0.67509059173e-10,
  -0.57410327428e-12, -0.31088872894e-14, -0.10451609365e-16, -0.19889266878e-19, -0.16322697486e-22,
];
const ABOVE_ZERO = [
  -0.17600413686e-1, 0.38921204975e-1, 0.18558770032e-4, -0.99457592874e-7, 0.31840945719e-9,
  -0.56072844889e-12, 0.56075059059e-15, -0.32020720003e-18, 0.97151147152e-22, -0.12104721275e-25,
];
/** a0 exp(a1 (t - a2)^2) is added above 0 degC: mV, per degC^2, degC. */
const BUMP = { a0: 0.1185976, a1: -0.1183432e-3, a2: 126.9686 };
const LOWEST_C = -270;
const HIGHEST_C = 1372;

/** Inverse polynomials of the same source, each with the highest millivolt for which it holds; good to 0.05 degC. */
const INVERSE = [
  {
    upToMv: 0,
    d: [
      0, 2.5173462e1, -1.1662878, -1.0833638, -8.977354e-1, -3.7342377e-1, -8.6632643e-2, -1.0450598e-2,
      -5.1920577e-4,
    ],
  },
  {
    upToMv: 20.644,
    d: [
      0, 2.508355e1, 7.860106e-2, -2.503131e-1, 8.31527e-2, -1.228034e-2, 9.804036e-4, -4.41303e-5,
      1.057734e-6, -1.052755e-8,
    ],
  },
  {
    upToMv: Infinity,
    d: [-1.318058e2, 4.830222e1, -1.646031, 5.464731e-2, -9.650715e-4, 8.802193e-6, -3.11081e-8],
  },
];
/** Range of the inverse, -200 to 1372 degC, mV; OURS: one last place of the tables is allowed beyond it. */
const LOWEST_MV = -5.892;
const HIGHEST_MV = 54.887;
const NEWTON_STEPS = 2;

/**
 * Voltage of a type K thermocouple whose reference junction is at 0 degC.
 *
 * @param tempC  -270 to 1372 degC
 * @returns mV, or null outside that range
 */
export function typeKMillivolt(tempC: number): number | null {
  return tempC >= LOWEST_C && tempC <= HIGHEST_C ? millivolt(tempC) : null;
}

/**
 * Temperature of the hot end. Voltages are added, never temperatures: the voltage of the cold junction is added to the
 * measured one and the sum is turned back, with the inverse polynomial as a start and two Newton steps on the reference function.
 *
 * @param mV  as measured, mV
 * @param coldJunctionC  where the thermocouple ends, degC
 * @returns degC from -200 to 1372, or null when it cannot be: broken, or no number
 */
export function typeKTempC(mV: number, coldJunctionC: number): number | null {
  const coldMv = typeKMillivolt(coldJunctionC);
  if (coldMv === null) return null;
  const totalMv = mV + coldMv;
  if (!(totalMv >= LOWEST_MV && totalMv <= HIGHEST_MV)) return null;
  // the sum chooses the polynomial: the measured voltage alone would choose the wrong one beside a warm junction
  const inverse = INVERSE.find(({ upToMv }) => totalMv <= upToMv);
  if (!inverse) return null;
  let tempC = polynomial(inverse.d, totalMv);
  for (let step = 0; step < NEWTON_STEPS; step++) tempC -= (millivolt(tempC) - totalMv) / slope(tempC);
  return tempC;
}

function millivolt(tempC: number): number {
  if (tempC < 0) return polynomial(BELOW_ZERO, tempC);
  return polynomial(ABOVE_ZERO, tempC) + bump(tempC);
}

function slope(tempC: number): number {
  if (tempC < 0) return derivative(BELOW_ZERO, tempC);
  return derivative(ABOVE_ZERO, tempC) + 2 * BUMP.a1 * (tempC - BUMP.a2) * bump(tempC);
}

function bump(tempC: number): number {
  return BUMP.a0 * Math.exp(BUMP.a1 * (tempC - BUMP.a2) ** 2);
}

function polynomial(coefficients: readonly number[], x: number): number {
  return coefficients.reduceRight((sum, c) => sum * x + c, 0);
}

function derivative(coefficients: readonly number[], x: number): number {
  return coefficients.reduceRight((sum, c, power) => (power === 0 ? sum : sum * x + power * c), 0);
}
