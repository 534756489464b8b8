import type { Quality } from '../../contract/reading.ts';

/**
 * The tests of QARTOD as published, on whole rows of values: U.S. IOOS, Manual for Real-Time Oceanographic Data Quality
 * Control Flags; definitions as in the public implementation ioos_qc, qartod.py (read). null = missing.
 */
type Value = number | null;
type Span = readonly [low: number, high: number];

/** `fail`: what the sensor can give at all. `suspect`: what is to be expected; inside of `fail`. */
export type GrossSpans = { fail: Span; suspect: Span };

/** Gross range test of one value: outside `fail` 4, outside `suspect` 3, else 1. What is no number fails. */
export function grossFlag(value: number, { fail, suspect }: GrossSpans): 1 | 3 | 4 {
  if (!(value >= fail[0] && value <= fail[1])) return 4;
  return value >= suspect[0] && value <= suspect[1] ? 1 : 3;
}

export function grossRange(values: readonly Value[], spans: GrossSpans): Quality[] {
  return values.map((value) => (value === null ? 9 : grossFlag(value, spans)));
}

/** How far each value is from the mean of its two neighbours; the ends, and next to a missing one, are not evaluated (2). */
export function spike(values: readonly Value[], limits: { suspect: number; fail: number }): Quality[] {
  return values.map((value, i) => {
    const [before, after] = [values[i - 1], values[i + 1]];
    if (value === null) return 9;
    if (before == null || after == null) return 2;
    const off = Math.abs(value - (before + after) / 2);
    return off > limits.fail ? 4 : off > limits.suspect ? 3 : 1;
  });
}

/**
 * Change since the value before, per second; the first one, and one after a missing value, is good.
 * @param timesS ascending
 */
export function rateOfChange(
  values: readonly Value[],
  timesS: readonly number[],
  suspectPerS: number,
): Quality[] {
  return values.map((value, i) => {
    const before = values[i - 1];
    if (value === null) return 9;
    if (before == null) return 1;
    const spanS = (timesS[i] ?? NaN) - (timesS[i - 1] ?? NaN);
    return Math.abs(value - before) / spanS > suspectPerS ? 3 : 1;
  });
}

/**
 * Each value with the floor(seconds / interval) values before it: all of them within less than `tolerance`?
 * @param intervalS between two values, s
 */
export function flatLine(
  values: readonly number[],
  intervalS: number,
  limits: { suspectS: number; failS: number; tolerance: number },
): Quality[] {
  const isFlat = (i: number, seconds: number): boolean => {
    const first = i - Math.floor(seconds / intervalS);
    if (first < 0) return false;
    const window = values.slice(first, i + 1);
    return Math.max(...window) - Math.min(...window) < limits.tolerance;
  };
  return values.map((_, i) => (isFlat(i, limits.failS) ? 4 : isFlat(i, limits.suspectS) ? 3 : 1));
}

/** Which flag wins over which: missing, not evaluated, good, suspect, fail. */
const PRECEDENCE: readonly Quality[] = [9, 2, 1, 3, 4];

/** One flag for the results of several tests of the same value. */
export function aggregate(flags: readonly Quality[]): Quality {
  return PRECEDENCE[Math.max(0, ...flags.map((flag) => PRECEDENCE.indexOf(flag)))] ?? 9;
}
