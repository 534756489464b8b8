import type { Reading } from '../contract/reading.ts';
import { FUTURE_TOLERANCE_MS } from './samples.ts';

/** Our own choice: a probe is silent after three missed sending intervals, and never sooner than a minute. */
const MISSED_INTERVALS = 3;
const SILENT_AT_LEAST_MS = 60_000;
/** How many of the newest gaps tell how often a probe sends. */
const GAPS_LOOKED_AT = 20;

/**
 * After how long without a reading a probe is silent, ms.
 *
 * @param intervalMs - how often it sends, ms; null or no positive number = not known yet, then the least time holds
 */
export function silentAfterMs(intervalMs: number | null): number {
  const missedMs = MISSED_INTERVALS * (intervalMs ?? 0);
  return missedMs > SILENT_AT_LEAST_MS && Number.isFinite(missedMs) ? missedMs : SILENT_AT_LEAST_MS;
}

/**
 * How often a probe sends: the median of its last 20 gaps, ms, whatever the quality of the readings; null before the second
 * reading. One outage among the gaps does not move a median.
 */
export function typicalIntervalMs(readings: readonly Pick<Reading, 'atMs'>[]): number | null {
  const newest = readings.slice(-(GAPS_LOOKED_AT + 1));
  const gaps = newest.flatMap(({ atMs }, index) => {
    const gapMs = atMs - (newest[index - 1]?.atMs ?? NaN);
    return gapMs > 0 ? [gapMs] : [];
  });
  gaps.sort((a, b) => a - b);
  const upper = gaps[Math.floor(gaps.length / 2)];
  const lower = gaps[Math.floor((gaps.length - 1) / 2)];
  return upper === undefined || lower === undefined ? null : (upper + lower) / 2;
}

/**
 * Whether a probe is silent.
 *
 * @param lastAtMs - time of its newest usable reading, epoch ms; null = never heard
 * @returns `sinceMs` = the newest reading's time, epoch ms; null while it is heard, and where that time is not known: never
 * heard, or a time further ahead than a clock may honestly be, which is not "fresh for ever"
 */
export function silence(q: { lastAtMs: number | null; intervalMs: number | null; nowMs: number }): {
  silent: boolean;
  sinceMs: number | null;
} {
  const { lastAtMs, intervalMs, nowMs } = q;
  if (lastAtMs === null) return { silent: true, sinceMs: null };
  const ageMs = nowMs - lastAtMs;
  if (!(ageMs >= -FUTURE_TOLERANCE_MS)) return { silent: true, sinceMs: null };
  return ageMs <= silentAfterMs(intervalMs)
    ? { silent: false, sinceMs: null }
    : { silent: true, sinceMs: lastAtMs };
}

/**
 * Since when readings have come without a silence, epoch ms; null when there is none. Whether the last one is still fresh
 * is for `silence` to say.
 *
 * @param readings - ascending in time
 */
export function heardSinceMs(readings: readonly Pick<Reading, 'atMs'>[], silentMs: number): number | null {
  let sinceMs: number | null = null;
  let beforeMs = NaN;
  for (const { atMs } of readings) {
    if (!(atMs - beforeMs <= silentMs)) sinceMs = atMs;
    beforeMs = atMs;
  }
  return sinceMs;
}
