declare module 'odex' {
  /** Gragg-Bulirsch-Stoer integrator; only what the tests call. */
  export class Solver {
    constructor(dimension: number);
    absoluteTolerance: number;
    relativeTolerance: number;
    solve(
      derivative: (x: number, y: number[]) => number[],
      x0: number,
      y0: number[],
      x1: number,
    ): { y: number[]; outcome: number };
  }
}
