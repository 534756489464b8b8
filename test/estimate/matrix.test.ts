import { describe, expect, it } from 'vitest';
import { cholesky, solveLower, solveUpper } from '../../server/estimate/matrix.ts';

describe('small linear algebra', () => {
  it('solves what it has factored', () => {
    const a = [
      [4, 2, 0.6],
      [2, 5, 1],
      [0.6, 1, 3],
    ];
    const l = cholesky(a)!;
    const x = solveUpper(l, solveLower(l, [1, 2, 3]));
    a.forEach((row, i) => {
      expect(row.reduce((sum, v, j) => sum + v * x[j]!, 0)).toBeCloseTo(i + 1, 12);
    });
  });

  it('says so when a matrix is not positive definite', () => {
    expect(
      cholesky([
        [1, 2],
        [2, 1],
      ]),
    ).toBeNull();
    expect(cholesky([[Number.NaN]])).toBeNull();
  });
});
