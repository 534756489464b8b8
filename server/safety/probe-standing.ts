import type { CheckKind, ProbeHistory, ProbeStanding } from '../contract/probe.ts';
import type { Reading } from '../contract/reading.ts';

/** A probe is checked weekly, and when it is new: trade advice, Morning Advertiser, 2009 (read in a page that quotes it). */
const GOOD_FOR_MS = 7 * 86_400_000;

/** A stretch of time; `toMs` is not part of it any more, null = it lasts. */
export type Stretch = { fromMs: number; toMs: number | null };

type Event =
  { atMs: number; what: 'corrected' } | { atMs: number; what: 'checked'; kind: CheckKind; passed: boolean };

type Trust = { failed: ReadonlySet<CheckKind>; unproven: boolean; passedMs: number | null; checked: boolean };
const AT_FIRST: Trust = { failed: new Set(), unproven: false, passedMs: null, checked: false };

/**
 * How far a probe may be believed. It has failed while the newest check of either kind failed, and while no check has been passed
 * since its readings were last corrected: a correction is a promise until it is tried.
 *
 * @param history - all checks and corrections of one probe, in any order
 * @param nowMs - epoch ms
 * @returns `old` when the newest check that it passed is more than seven days ago
 */
export function standingOf(history: ProbeHistory, nowMs: number): ProbeStanding {
  const trust = eventsOf(history).reduce(next, AT_FIRST);
  if (!trust.checked) return 'never';
  if (isFailed(trust)) return 'failed';
  return trust.passedMs !== null && nowMs - trust.passedMs <= GOOD_FOR_MS ? 'passed' : 'old';
}

/** When a probe stood as failed, ascending in time. What it read then stays doubted, also after it passed again. */
export function doubtStretches(history: ProbeHistory): Stretch[] {
  const stretches: Stretch[] = [];
  let trust = AT_FIRST;
  let fromMs: number | null = null;
  for (const event of eventsOf(history)) {
    trust = next(trust, event);
    if (isFailed(trust)) fromMs ??= event.atMs;
    else if (fromMs !== null) {
      stretches.push({ fromMs, toMs: event.atMs });
      fromMs = null;
    }
  }
  return fromMs === null ? stretches : [...stretches, { fromMs, toMs: null }];
}

/**
 * Readings with those of a probe that stood as failed marked suspect (3): they may raise an alarm, never clear one, and never count
 * towards a core limit. Others stay as they are.
 *
 * @param readings - of one probe, ascending in time
 * @param stretches - as `doubtStretches` tells them
 */
export function doubted(readings: readonly Reading[], stretches: readonly Stretch[]): readonly Reading[] {
  const [first] = stretches;
  if (!first || !((readings.at(-1)?.atMs ?? -Infinity) >= first.fromMs)) return readings;
  return readings.map((reading) =>
    reading.quality < 3 && isDoubted(reading.atMs, stretches) ? { ...reading, quality: 3 } : reading,
  );
}

/** Whether a moment lies in one of the stretches. */
export function isDoubted(atMs: number, stretches: readonly Stretch[]): boolean {
  return stretches.some(({ fromMs, toMs }) => atMs >= fromMs && !(toMs !== null && atMs >= toMs));
}

function isFailed({ failed, unproven, checked }: Trust): boolean {
  return checked && (failed.size > 0 || unproven);
}

function next(trust: Trust, event: Event): Trust {
  if (event.what === 'corrected') return { ...trust, unproven: true };
  const failed = new Set(trust.failed);
  if (!event.passed) return { ...trust, checked: true, failed: failed.add(event.kind) };
  failed.delete(event.kind);
  return { failed, unproven: false, passedMs: event.atMs, checked: true };
}

/** Ascending; a check at the very moment at which a correction begins was made with it. */
function eventsOf({ checks, corrections }: ProbeHistory): Event[] {
  const corrected = corrections.map(({ fromMs }): Event => ({ atMs: fromMs, what: 'corrected' }));
  const checked = checks.map(({ atMs, kind, outcome }): Event => ({
    atMs,
    what: 'checked',
    kind,
    passed: outcome === 'passed',
  }));
  return [...corrected, ...checked].sort((a, b) => a.atMs - b.atMs);
}
