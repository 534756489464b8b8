export type Tridiagonal = { lower: number[]; middle: number[]; upper: number[]; right: number[] };

/** Solves a diagonally dominant tridiagonal system (Thomas algorithm). All four columns have the same length. */
export function solveTridiagonal({ lower, middle, upper, right }: Tridiagonal): number[] {
  const size = middle.length;
  const ratio = new Array<number>(size).fill(0);
  const solution = new Array<number>(size).fill(0);
  for (let row = 0; row < size; row += 1) {
    const below = lower[row] ?? 0;
    const pivot = (middle[row] ?? 0) - below * (ratio[row - 1] ?? 0);
    ratio[row] = (upper[row] ?? 0) / pivot;
    solution[row] = ((right[row] ?? 0) - below * (solution[row - 1] ?? 0)) / pivot;
  }
  for (let row = size - 2; row >= 0; row -= 1) {
    solution[row] = (solution[row] ?? 0) - (ratio[row] ?? 0) * (solution[row + 1] ?? 0);
  }
  return solution;
}
