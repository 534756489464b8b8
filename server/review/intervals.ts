import type { Reading } from '../contract/reading.ts';

/** Buckets of a trace: [epoch ms of its last reading, lowest, highest, last], degC. */
export type TracePoint = [atMs: number, minC: number, maxC: number, lastC: number];

/** Readings that say something: failed (4) and missing (9) ones are kept in the store but drawn nowhere. */
export function usable(readings: readonly Reading[]): Reading[] {
  return readings.filter((r) => r.quality < 4 && Number.isFinite(r.tempC));
}

/**
 * At most `points` buckets of equal length over the readings; lowest and highest are kept, so no peak is lost.
 *
 * @param readings  ascending in time
 * @throws RangeError when `points` is not a whole number of at least 1
 */
export function bucketed(readings: readonly Reading[], points: number): TracePoint[] {
  if (!Number.isInteger(points) || points < 1)
    throw new RangeError(`points must be a whole number from 1, got ${points}`);
  const first = readings[0];
  const last = readings.at(-1);
  if (!first || !last) return [];
  const widthMs = Math.max(1, Math.ceil((last.atMs - first.atMs + 1) / points));
  const out: TracePoint[] = [];
  let bucket = -1;
  for (const { atMs, tempC } of readings) {
    const index = Math.floor((atMs - first.atMs) / widthMs);
    const open = out.at(-1);
    if (index !== bucket || !open) {
      out.push([atMs, tempC, tempC, tempC]);
      bucket = index;
    } else {
      out[out.length - 1] = [atMs, Math.min(open[1], tempC), Math.max(open[2], tempC), tempC];
    }
  }
  return out;
}

/** Spans longer than `longestMs` without a usable reading, also at both ends of the span that was to be watched. */
export function gapsIn(
  readings: readonly Reading[],
  span: { fromMs: number; toMs: number },
  longestMs: number,
): [fromMs: number, toMs: number][] {
  const edges = [span.fromMs, ...readings.map((r) => r.atMs), span.toMs];
  const gaps: [number, number][] = [];
  for (const [i, toMs] of edges.entries()) {
    const fromMs = edges[i - 1];
    if (fromMs !== undefined && toMs - fromMs > longestMs) gaps.push([fromMs, toMs]);
  }
  return gaps;
}
