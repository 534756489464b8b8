import type { Buckets } from '../../../server/contract/api.ts';
import { MINUTE_MS } from '../../format/duration.ts';

export type Point = Buckets['points'][number];
export type Span = 'around' | 'day';
export type Gap = { fromMs: number; toMs: number };
/** Stretches of readings with nothing missing inside; between two of them nobody knows. */
export type History = { stretches: Point[][]; gaps: Gap[] };

const LEAST_GAP_MS = 60_000;
const MISSED_INTERVALS = 3;
export const AROUND_BACK_MIN = 95;
export const AROUND_AHEAD_MIN = 92;
const DAY_BACK_MIN = 12 * 60;
export const MAX_POINTS = 400;

/** The stretch of time that a span shows, epoch ms. */
export function spanRange(span: Span, nowMs: number): { fromMs: number; toMs: number } {
  const backMin = span === 'around' ? AROUND_BACK_MIN : DAY_BACK_MIN;
  return { fromMs: nowMs - backMin * MINUTE_MS, toMs: nowMs };
}

/** How long a silence must be to count as a gap: 3 usual intervals or 60 s, whichever is longer. */
export function gapLimitMs(points: readonly Point[]): number {
  const steps = points.slice(1).map((point, index) => point[0] - (points[index]?.[0] ?? point[0]));
  const usual = steps.sort((a, b) => a - b)[Math.floor(steps.length / 2)] ?? 0;
  return Math.max(LEAST_GAP_MS, MISSED_INTERVALS * usual);
}

/** Splits readings where they fell silent; a silence up to `untilMs` is a gap as well. Never bridges anything. */
export function historyOf(points: readonly Point[], untilMs: number): History {
  const ordered = points.filter((point) => point.every(Number.isFinite)).sort((a, b) => a[0] - b[0]);
  const limitMs = gapLimitMs(ordered);
  const stretches: Point[][] = [];
  const gaps: Gap[] = [];
  let lastMs: number | null = null;
  for (const point of ordered) {
    const stretch = stretches.at(-1);
    const isGap = lastMs !== null && point[0] - lastMs > limitMs;
    if (lastMs !== null && isGap) gaps.push({ fromMs: lastMs, toMs: point[0] });
    if (stretch === undefined || isGap) stretches.push([point]);
    else stretch.push(point);
    lastMs = point[0];
  }
  if (lastMs !== null && untilMs - lastMs > limitMs) gaps.push({ fromMs: lastMs, toMs: untilMs });
  return { stretches, gaps };
}

const MOST_LIVE_POINTS = 600;

/** Live readings since the page opened, with the newest one added when it is new. */
export function withNewest(
  live: readonly Point[],
  atMs: number | null,
  tempC: number | null,
): readonly Point[] {
  const last = live.at(-1);
  if (atMs === null || tempC === null || (last !== undefined && atMs <= last[0])) return live;
  return [...live, [atMs, tempC, tempC, tempC] satisfies Point].slice(-MOST_LIVE_POINTS);
}

/** What the server sent a moment ago, and the live readings that came after it. */
export function joined(points: readonly Point[], live: readonly Point[]): Point[] {
  const lastMs = points.at(-1)?.[0] ?? Number.NEGATIVE_INFINITY;
  return [...points, ...live.filter(([atMs]) => atMs > lastMs)];
}

const SLOPE_WINDOW_MS = 10 * MINUTE_MS;
const LEAST_WINDOW_MS = 2 * MINUTE_MS;

/** How fast the last stretch moved over its last ten minutes, degC per min; null when it is too short to say. */
export function slopeOf({ stretches }: History): number | null {
  const stretch = stretches.at(-1);
  const last = stretch?.at(-1);
  if (stretch === undefined || last === undefined) return null;
  const first = stretch.find((point) => last[0] - point[0] <= SLOPE_WINDOW_MS);
  if (first === undefined || last[0] - first[0] < LEAST_WINDOW_MS) return null;
  return (last[3] - first[3]) / ((last[0] - first[0]) / MINUTE_MS);
}
