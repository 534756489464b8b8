import type { Reading } from '../contract/reading.ts';
import type { HoldLimit } from './limit-types.ts';
import { isInsideBy, judgeHold } from './limits.ts';
import { usableSamples, type HandReading, type Sample } from './samples.ts';

export type HoldQuestion = {
  /** Raw readings of one sensor, ascending in time; an unfiltered value, because a filter would delay the alarm. */
  readings: readonly Reading[];
  spotChecks: readonly HandReading[];
  limit: HoldLimit;
  nowMs: number;
  /** A gap longer than this is a silence, ms. */
  silentAfterMs: number;
  /** How far inside the limit a reading must be to count towards `clearSinceMs`, degC; 0 when left out. */
  deadbandC?: number;
};

export type HoldVerdict = {
  state: 'within' | 'outside' | 'unknown';
  /** The temperature that the state rests on and its time; an old one while the state is unknown. */
  valueC: number | null;
  atMs: number | null;
  /** Start of the excursion that has not ended, also while the probe is silent: a silence does not end it. */
  outsideSinceMs: number | null;
  outsideMs: number;
  /** All excursions within the readings together, ms. */
  totalOutsideMs: number;
  /** The temperature furthest towards or beyond the limit, degC. */
  worstC: number | null;
  unknownSinceMs: number | null;
  /** Since when every reading has been inside by the deadband, without a silence; null while not. */
  clearSinceMs: number | null;
  /** The newest usable temperature is a suspect one: look at the probe. */
  suspect: boolean;
};

/**
 * Watches one cold or hot hold. A measured temperature stands until the next one. Suspect readings may put it outside and
 * never bring it back; failed and missing ones change nothing; after a silence nothing is known until the next reading, and
 * a silence that began outside counts as outside.
 *
 * @returns what was measured against the limit; times in epoch ms, durations in ms
 * @throws TypeError when nowMs is no number; RangeError when readings are not ascending, or silentAfterMs is not positive
 */
export function watchHold(q: HoldQuestion): HoldVerdict {
  if (!(q.silentAfterMs > 0)) {
    throw new RangeError(`silentAfterMs: expected more than 0 ms, got ${String(q.silentAfterMs)}`);
  }
  const heard = usableSamples(q);
  const decisive = decisiveSamples(heard, q);
  const suspect = heard.at(-1)?.suspect ?? false;
  const last = decisive.at(-1);
  if (last === undefined) return { ...NOTHING_KNOWN, suspect };

  const silent = !(q.nowMs - last.atMs <= q.silentAfterMs);
  const outsideSinceMs = excursionStart(decisive, q.limit);
  return {
    state: silent ? 'unknown' : judgeHold(q.limit, last.tempC),
    valueC: last.tempC,
    atMs: last.atMs,
    outsideSinceMs,
    outsideMs: outsideSinceMs === null ? 0 : Math.max(0, q.nowMs - outsideSinceMs),
    totalOutsideMs: totalOutside(decisive, q),
    worstC: worst(decisive, q.limit),
    unknownSinceMs: silent ? last.atMs : null,
    clearSinceMs: silent ? null : clearStart(decisive, q),
    suspect,
  };
}

const NOTHING_KNOWN: HoldVerdict = {
  state: 'unknown',
  valueC: null,
  atMs: null,
  outsideSinceMs: null,
  outsideMs: 0,
  totalOutsideMs: 0,
  worstC: null,
  unknownSinceMs: null,
  clearSinceMs: null,
  suspect: false,
};

/** Leaves out what may not decide: a suspect reading inside, and a hand check inside while the probe itself says outside. */
function decisiveSamples(heard: readonly Sample[], { limit, silentAfterMs }: HoldQuestion): Sample[] {
  let probeOutsideMs = -Infinity;
  return heard.filter((sample) => {
    const inside = judgeHold(limit, sample.tempC) === 'within';
    if (inside && sample.suspect) return false;
    if (inside && sample.byHand) return !(sample.atMs - probeOutsideMs <= silentAfterMs);
    if (!sample.byHand) probeOutsideMs = inside ? -Infinity : sample.atMs;
    return true;
  });
}

function excursionStart(decisive: readonly Sample[], limit: HoldLimit): number | null {
  let sinceMs: number | null = null;
  for (const { atMs, tempC } of decisive) {
    sinceMs = judgeHold(limit, tempC) === 'within' ? null : (sinceMs ?? atMs);
  }
  return sinceMs;
}

function totalOutside(decisive: readonly Sample[], { limit, nowMs }: HoldQuestion): number {
  let sumMs = 0;
  decisive.forEach(({ atMs, tempC }, index) => {
    const untilMs = decisive[index + 1]?.atMs ?? nowMs;
    if (judgeHold(limit, tempC) === 'outside') sumMs += Math.max(0, untilMs - atMs);
  });
  return sumMs;
}

function worst(decisive: readonly Sample[], limit: HoldLimit): number {
  const temperatures = decisive.map(({ tempC }) => tempC);
  const further = limit.kind === 'max' ? Math.max : Math.min;
  return temperatures.reduce((a, b) => further(a, b));
}

function clearStart(
  decisive: readonly Sample[],
  { limit, silentAfterMs, deadbandC = 0 }: HoldQuestion,
): number | null {
  let sinceMs: number | null = null;
  let beforeMs = -Infinity;
  for (const { atMs, tempC } of decisive) {
    if (atMs - beforeMs > silentAfterMs) sinceMs = null;
    sinceMs = isInsideBy(limit, tempC, deadbandC) ? (sinceMs ?? atMs) : null;
    beforeMs = atMs;
  }
  return sinceMs;
}
