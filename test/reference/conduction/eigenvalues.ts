import type { Shape } from '../../../server/contract/food.ts';
import { besselJ01 } from './bessel.ts';

/** One term of the conduction series at the centre: coefficient * exp(-zeta^2 Fo). Both dimensionless. */
export type Eigenpair = { zeta: number; coefficient: number };

type Bracket = { low: number; high: number };
type Value = { f: number; slope: number };

const MAX_STEPS = 80;

/** n-th positive zero of J0 (order 0) or J1 (order 1): McMahon's expansion, then Newton. A&S 9.5.12, from memory. */
function besselZero(order: 0 | 1, n: number): number {
  if (n === 0) return 0;
  const beta = (n + order / 2 - 0.25) * Math.PI;
  let x = beta - (4 * order * order - 1) / (8 * beta);
  for (let step = 0; step < 6; step += 1) {
    const { j0, j1 } = besselJ01(x);
    x -= order === 0 ? j0 / -j1 : j1 / (j0 - j1 / x);
  }
  return x;
}

/** Enough brackets for every use but a test; further ones are worked out when asked for. */
const KEPT = 8;
const J0_ZEROS = Array.from({ length: KEPT }, (_, index) => besselZero(0, index));
const J1_ZEROS = Array.from({ length: KEPT }, (_, index) => besselZero(1, index));

function bracketOf(shape: Shape, n: number): Bracket {
  switch (shape) {
    case 'slab':
      return { low: (n - 1) * Math.PI, high: (n - 0.5) * Math.PI };
    case 'cylinder':
      return { low: J1_ZEROS[n - 1] ?? besselZero(1, n - 1), high: J0_ZEROS[n] ?? besselZero(0, n) };
    case 'sphere':
      return { low: (n - 1) * Math.PI, high: n * Math.PI };
  }
}

/** The eigenvalue condition without poles, and its derivative. */
function condition(shape: Shape, biot: number, z: number): Value {
  switch (shape) {
    case 'slab': {
      const [sin, cos] = [Math.sin(z), Math.cos(z)];
      return { f: z * sin - biot * cos, slope: (1 + biot) * sin + z * cos };
    }
    case 'cylinder': {
      const { j0, j1 } = besselJ01(z);
      return { f: z * j1 - biot * j0, slope: z * j0 + biot * j1 };
    }
    case 'sphere': {
      const [sin, cos] = [Math.sin(z), Math.cos(z)];
      return { f: (1 - biot) * sin - z * cos, slope: z * sin - biot * cos };
    }
  }
}

function coefficientOf(shape: Shape, z: number): number {
  switch (shape) {
    case 'slab':
      return (4 * Math.sin(z)) / (2 * z + Math.sin(2 * z));
    case 'cylinder': {
      const { j0, j1 } = besselJ01(z);
      return (2 * j1) / (z * (j0 * j0 + j1 * j1));
    }
    case 'sphere':
      return (4 * (Math.sin(z) - z * Math.cos(z))) / (2 * z - Math.sin(2 * z));
  }
}

/** Newton's step where it stays inside the bracket, bisection where it does not: always converges, mostly in six. */
function solve(shape: Shape, biot: number, n: number): number {
  let { low, high } = bracketOf(shape, n);
  // The condition changes sign from one bracket to the next; it is negative at the low end of the first.
  const sign = n % 2 === 1 ? 1 : -1;
  let z = (low + high) / 2;
  for (let step = 0; step < MAX_STEPS; step += 1) {
    const { f, slope } = condition(shape, biot, z);
    if (f * sign < 0) low = z;
    else high = z;
    const newton = z - f / slope;
    const next = newton > low && newton < high ? newton : (low + high) / 2;
    if (Math.abs(next - z) <= 1e-15 * z || high - low <= 1e-15 * high) return next;
    z = next;
  }
  return z;
}

function checkBiot(biot: number): void {
  if (!(biot > 0)) throw new RangeError(`biot: expected a number above 0, got ${biot}`);
}

/**
 * First n eigenvalues and centre coefficients of transient conduction with a constant surface coefficient.
 *
 * slab z tan z = Bi, cylinder z J1 = Bi J0, sphere 1 - z cot z = Bi, each solved without poles in its own bracket.
 * Source: Carslaw & Jaeger, Conduction of Heat in Solids, 1959, ch. 3, 7, 9 (from memory); first pairs printed in
 * Cengel, Heat Transfer, Table 4-2 (read).
 * @param biot h L / k, dimensionless, above 0; Infinity = fixed surface temperature. L = half thickness or radius
 * @param n how many pairs, 1 or more
 * @throws RangeError when biot or n is out of range
 */
export function eigenpairs(shape: Shape, biot: number, n: number): Eigenpair[] {
  checkBiot(biot);
  if (!(Number.isInteger(n) && n >= 1)) throw new RangeError(`n: expected a whole number from 1, got ${n}`);
  return Array.from({ length: n }, (_, index) => {
    const zeta = biot > 1e9 ? bracketOf(shape, index + 1).high : solve(shape, biot, index + 1);
    return { zeta, coefficient: coefficientOf(shape, zeta) };
  });
}

/** The pair that is left of the series once Fo > 0.2. See {@link eigenpairs}. */
export function firstEigenpair(shape: Shape, biot: number): Eigenpair {
  checkBiot(biot);
  const zeta = biot > 1e9 ? bracketOf(shape, 1).high : solve(shape, biot, 1);
  return { zeta, coefficient: coefficientOf(shape, zeta) };
}
