/** Rational approximation of Hastings: A&S 26.2.23 (from memory), absolute error below 4.5e-4. */
const C = [2.515517, 0.802853, 0.010328] as const;
const D = [1.432788, 0.189269, 0.001308] as const;

/** Normal distribution's value at probability p (0 < p < 1). Error below 4.5e-4: ample for drawing. */
export function normalQuantile(p: number): number {
  if (!(p > 0 && p < 1)) throw new RangeError(`p: expected between 0 and 1, got ${p}`);
  const t = Math.sqrt(-2 * Math.log(Math.min(p, 1 - p)));
  const tail = t - (C[0] + t * (C[1] + t * C[2])) / (1 + t * (D[0] + t * (D[1] + t * D[2])));
  return p < 0.5 ? -tail : tail;
}

/** The root of x^(d+1) = x + 1: its powers fill d dimensions evenly, as the golden ratio fills one. */
function evenRatio(dimensions: number): number {
  let x = 1.5;
  for (let step = 0; step < 40; step += 1) x = (1 + x) ** (1 / (dimensions + 1));
  return x;
}

/**
 * Evenly spread standard normal vectors, the same on every call: a forecast must not jump by chance.
 * Kronecker sequence on powers of the generalised golden ratio (common practice, no source).
 */
export function normalPoints(count: number, dimensions: number): number[][] {
  const ratio = evenRatio(dimensions);
  return Array.from({ length: count }, (_, draw) =>
    Array.from({ length: dimensions }, (_unused, axis) => {
      const place = (0.5 + (draw + 1) / ratio ** (axis + 1)) % 1;
      return normalQuantile(Math.min(Math.max(place, 0.5 / count), 1 - 0.5 / count));
    }),
  );
}
