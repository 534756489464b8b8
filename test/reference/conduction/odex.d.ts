/** Gragg-Bulirsch-Stoer integrator; only what the tests call. The package's own types do not compile strictly. */
export declare class Solver {
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
