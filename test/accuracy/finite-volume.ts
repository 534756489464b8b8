import type { Shape } from '../../server/contract/food.ts';

/**
 * Truth by another road than the estimator's: heat balances of thin layers, stepped implicitly, with heat fluxes (not a
 * coefficient and an ambient) at two unlike faces. No eigenvalue, no series, no symmetric body.
 */
export type Body = {
  shape: Shape;
  /** Whole thickness of a slab, diameter else, m. */
  sizeM: number;
  /** At 20 degC, W/(m K); it rises by `kRisePerC` of itself per degree. */
  conductivityWmK: number;
  kRisePerC: number;
  /** rho cp, J/(m3 K). */
  heatCapacityJm3K: number;
};

/** Net flux into a face at its temperature, W/m2. A slab has the faces 0 and 1; other bodies only face 0. */
export type FaceFlux = (face: 0 | 1, surfaceC: number) => number;

const CELLS = 40;

export class Layers {
  readonly #body: Body;
  readonly #areas: Float64Array;
  readonly #volumes: Float64Array;
  readonly #widthM: number;
  #temps: Float64Array;
  readonly surfaceC: [number, number];

  constructor(body: Body, startC: number) {
    this.#body = body;
    const isSlab = body.shape === 'slab';
    const lengthM = isSlab ? body.sizeM : body.sizeM / 2;
    this.#widthM = lengthM / CELLS;
    const power = { slab: 0, cylinder: 1, sphere: 2 }[body.shape];
    const edge = (i: number): number => i * this.#widthM;
    this.#areas = Float64Array.from({ length: CELLS + 1 }, (_, i) => edge(i) ** power);
    this.#volumes = Float64Array.from(
      { length: CELLS },
      (_, i) => (edge(i + 1) ** (power + 1) - edge(i) ** (power + 1)) / (power + 1),
    );
    this.#temps = new Float64Array(CELLS).fill(startC);
    this.surfaceC = [startC, startC];
  }

  #k(tempC: number): number {
    return this.#body.conductivityWmK * (1 + this.#body.kRisePerC * (tempC - 20));
  }

  /** Surface temperature at which what comes in is conducted on, by bisection; returns the flux there. */
  #throughFace(face: 0 | 1, cellC: number, flux: FaceFlux): number {
    const conductance = (2 * this.#k(cellC)) / this.#widthM;
    let [low, high] = [-40, 900];
    for (let i = 0; i < 34; i += 1) {
      const middle = (low + high) / 2;
      if (flux(face, middle) > conductance * (middle - cellC)) low = middle;
      else high = middle;
    }
    this.surfaceC[face] = (low + high) / 2;
    return conductance * (this.surfaceC[face] - cellC);
  }

  /** One implicit step of `dtS`; the face fluxes are those at its beginning. */
  step(dtS: number, flux: FaceFlux): void {
    const t = this.#temps;
    const capacity = this.#body.heatCapacityJm3K;
    const lower = new Float64Array(CELLS);
    const diagonal = new Float64Array(CELLS);
    const right = new Float64Array(CELLS);
    const link = (i: number): number =>
      i <= 0 || i >= CELLS ? 0 : (this.#areas[i]! * this.#k((t[i - 1]! + t[i]!) / 2)) / this.#widthM;
    for (let i = 0; i < CELLS; i += 1) {
      const stored = (capacity * this.#volumes[i]!) / dtS;
      lower[i] = -link(i);
      diagonal[i] = stored + link(i) + link(i + 1);
      right[i] = stored * t[i]!;
    }
    const last = CELLS - 1;
    const outer = this.#body.shape === 'slab' ? 1 : 0;
    right[last]! += this.#areas[CELLS]! * this.#throughFace(outer, t[last]!, flux);
    if (this.#body.shape === 'slab') right[0]! += this.#areas[0]! * this.#throughFace(0, t[0]!, flux);
    for (let i = 1; i < CELLS; i += 1) {
      const factor = lower[i]! / diagonal[i - 1]!;
      diagonal[i]! += factor * link(i);
      right[i]! -= factor * right[i - 1]!;
    }
    const next = new Float64Array(CELLS);
    next[last] = right[last]! / diagonal[last]!;
    for (let i = last - 1; i >= 0; i -= 1) next[i] = (right[i]! + link(i + 1) * next[i + 1]!) / diagonal[i]!;
    this.#temps = next;
  }

  /** Temperature at a place: metres from face 0 of a slab, from the middle of other bodies. */
  at(placeM: number): number {
    const x = Math.min(Math.max(placeM / this.#widthM - 0.5, 0), CELLS - 1);
    const i = Math.min(Math.floor(x), CELLS - 2);
    return this.#temps[i]! + (x - i) * (this.#temps[i + 1]! - this.#temps[i]!);
  }

  /** A slab is turned over: what lay on the fire looks at the sky. */
  turn(): void {
    this.#temps.reverse();
    this.surfaceC.reverse();
  }
}
