/** Lower triangle of a symmetric positive definite matrix: a = l l^T. Rows of numbers. */
export type Triangle = number[][];

function at(rows: readonly (readonly number[])[], i: number, j: number): number {
  const value = rows[i]?.[j];
  if (value === undefined) throw new RangeError(`matrix: expected an entry at ${i}, ${j}`);
  return value;
}

/** Cholesky's factor, or null when the matrix is not positive definite. */
export function cholesky(a: readonly (readonly number[])[]): Triangle | null {
  const l: Triangle = a.map((row) => row.map(() => 0));
  for (let i = 0; i < a.length; i += 1) {
    const row = l[i] ?? [];
    for (let j = 0; j <= i; j += 1) {
      let sum = at(a, i, j);
      for (let k = 0; k < j; k += 1) sum -= at(l, i, k) * at(l, j, k);
      if (i !== j) row[j] = sum / at(l, j, j);
      else if (sum > 0) row[j] = Math.sqrt(sum);
      else return null;
    }
  }
  return l;
}

/** x of l x = b. */
export function solveLower(l: Triangle, b: readonly number[]): number[] {
  const x: number[] = [];
  b.forEach((value, i) => {
    let sum = value;
    for (let k = 0; k < i; k += 1) sum -= at(l, i, k) * (x[k] ?? 0);
    x.push(sum / at(l, i, i));
  });
  return x;
}

/** x of l^T x = b. */
export function solveUpper(l: Triangle, b: readonly number[]): number[] {
  const x = b.map(() => 0);
  for (let i = b.length - 1; i >= 0; i -= 1) {
    let sum = b[i] ?? 0;
    for (let k = i + 1; k < b.length; k += 1) sum -= at(l, k, i) * (x[k] ?? 0);
    x[i] = sum / at(l, i, i);
  }
  return x;
}
