import type { Shape } from '../../../server/contract/food.ts';
import { eigenpairs, firstEigenpair } from './eigenvalues.ts';

/** Below this the core has moved by less than 1e-20 of the way (erfc(1/(2 sqrt Fo))). */
const STILL_FO = 0.005;
/** Terms below exp(-40) do not count. */
const NEGLIGIBLE_EXPONENT = 40;

function checkFourier(fourier: number): void {
  if (!(fourier >= 0)) throw new RangeError(`fourier: expected 0 or more, got ${fourier}`);
}

/**
 * Share of the way that the centre still has to go, (T - Tambient) / (Tstart - Tambient), from the full series.
 *
 * @param biot h L / k, dimensionless, above 0
 * @param fourier alpha t / L^2, dimensionless, 0 or more
 * @returns 1 (not moved) down to 0 (at the ambient)
 * @throws RangeError when an argument is out of range
 */
export function centreTheta(shape: Shape, biot: number, fourier: number): number {
  checkFourier(fourier);
  if (fourier < STILL_FO) return 1;
  const terms = Math.ceil(Math.sqrt(NEGLIGIBLE_EXPONENT / fourier) / Math.PI) + 2;
  let theta = 0;
  for (const { zeta, coefficient } of eigenpairs(shape, biot, terms)) {
    theta += coefficient * Math.exp(-zeta * zeta * fourier);
  }
  return theta;
}

/**
 * The first term alone: within about 1.5 % for Fo > 0.2, too large before (it reads too cold).
 * Equal to Ball's straight line of heat-penetration practice (Ball & Olson 1957, from memory).
 */
export function oneTermTheta(shape: Shape, biot: number, fourier: number): number {
  checkFourier(fourier);
  const { zeta, coefficient } = firstEigenpair(shape, biot);
  return coefficient * Math.exp(-zeta * zeta * fourier);
}
