/** A seeded generator as plain data, so that a saved world goes on with the same numbers. */
export type Rng = { state: number };

/** FNV-1a, 32 bit (Fowler, Noll and Vo; offset basis 2166136261, prime 16777619, from memory). */
function hash(text: string): number {
  let value = 2166136261;
  for (let index = 0; index < text.length; index += 1) {
    value = Math.imul(value ^ text.charCodeAt(index), 16777619);
  }
  return value >>> 0;
}

/**
 * An independent stream for one purpose, so that one more draw in one place moves nothing elsewhere.
 * @param seed any integer
 * @param purpose what the numbers are for
 */
export function createRng(seed: number, purpose: string): Rng {
  if (!Number.isSafeInteger(seed)) throw new RangeError(`seed: expected a safe integer, got ${String(seed)}`);
  const rng = { state: hash(`${String(seed)}/${purpose}`) };
  uniform(rng);
  return rng;
}

/** The next number of [0, 1). Mulberry32 (T. Ettinger, public domain, 2017; from memory). */
export function uniform(rng: Rng): number {
  rng.state = (rng.state + 0x6d2b79f5) >>> 0;
  let mixed = rng.state;
  mixed = Math.imul(mixed ^ (mixed >>> 15), mixed | 1);
  mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
  return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
}

/** The next number of a normal distribution with mean 0 and standard deviation 1 (Box and Muller 1958). */
export function normal(rng: Rng): number {
  const radius = Math.sqrt(-2 * Math.log(1 - uniform(rng)));
  return radius * Math.cos(2 * Math.PI * uniform(rng));
}
