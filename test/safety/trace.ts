import type { Quality, Reading } from '../../server/contract/reading.ts';

/** An invented afternoon: 2026-08-29T15:00:00Z. */
export const START_MS = 1_788_015_600_000;
export const atS = (seconds: number): number => START_MS + seconds * 1000;
export const atMin = (minutes: number): number => atS(minutes * 60);

/** Seconds, degC, and quality (1 when left out). */
export type Row = readonly [number, number, Quality?];

export function trace(...rows: readonly Row[]): Reading[] {
  return rows.map(([seconds, tempC, quality = 1]) => ({ atMs: atS(seconds), tempC, quality }));
}

/** One reading every `stepS` seconds, both ends included. */
export function sampled(
  q: { fromS: number; toS: number; stepS: number; quality?: Quality },
  tempC: (seconds: number) => number,
): Reading[] {
  const { fromS, toS, stepS, quality = 1 } = q;
  const count = Math.floor((toS - fromS) / stepS) + 1;
  return Array.from({ length: count }, (_, i) => {
    const seconds = fromS + i * stepS;
    return { atMs: atS(seconds), tempC: tempC(seconds), quality };
  });
}
