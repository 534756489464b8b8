import type { Reading } from '../contract/reading.ts';

/** Our own choice: how far ahead of the server a probe's clock may honestly be; anything later is not used. */
export const FUTURE_TOLERANCE_MS = 5_000;

/** A temperature taken by hand. */
export type HandReading = { atMs: number; tempC: number };

/** A temperature that may be used for a verdict. A suspect one may worsen it and never better it. */
export type Sample = { atMs: number; tempC: number; suspect: boolean; byHand: boolean };

/**
 * Readings and spot checks in one row, ascending in time, without those that say nothing: failed (4), missing (9), no number,
 * or from a time that has not come.
 *
 * @param readings - ascending in time
 * @param nowMs - epoch ms
 * @throws RangeError when readings are not ascending; TypeError when nowMs is no number
 */
export function usableSamples(q: {
  readings: readonly Reading[];
  spotChecks: readonly HandReading[];
  nowMs: number;
}): Sample[] {
  if (!Number.isFinite(q.nowMs)) throw new TypeError(`nowMs: expected epoch ms, got ${String(q.nowMs)}`);
  assertAscending(q.readings);
  const byProbe = q.readings
    .filter(saysSomething)
    .map(({ atMs, tempC, quality }) => ({ atMs, tempC, suspect: quality === 3, byHand: false }));
  const byHand = q.spotChecks.map(({ atMs, tempC }) => ({ atMs, tempC, suspect: false, byHand: true }));
  return [...byProbe, ...byHand]
    .filter(({ atMs, tempC }) => Number.isFinite(tempC) && atMs <= q.nowMs + FUTURE_TOLERANCE_MS)
    .sort((a, b) => a.atMs - b.atMs);
}

/** False for a reading that failed (4), is missing (9) or is no number. */
export function saysSomething({ tempC, quality }: Reading): boolean {
  return quality !== 4 && quality !== 9 && Number.isFinite(tempC);
}

/** @throws RangeError when readings are not ascending in time */
export function assertAscending(readings: readonly Reading[]): void {
  let beforeMs = -Infinity;
  for (const { atMs } of readings) {
    if (atMs < beforeMs) {
      throw new RangeError(
        `readings: expected ascending atMs, got ${String(atMs)} after ${String(beforeMs)}`,
      );
    }
    beforeMs = atMs;
  }
}
