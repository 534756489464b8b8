import type { CheckKind, ProbeCheck } from '../contract/probe.ts';
import { REASON, type Reading } from '../contract/reading.ts';
import { boilingPointC } from './boiling-point.ts';
import { silence, silentAfterMs, typicalIntervalMs } from './silence.ts';

/** Melting ice, degC, at any pressure that a cookout meets. */
const ICE_C = 0;
/**
 * How far from the true temperature is accepted, degC: ice -1 to +1, boiling 99 to 101 at sea level. Centre for Food Safety,
 * Hong Kong, on checking food thermometers (read); the correction for height is worked out, see boiling-point.ts.
 */
const WINDOW_C = 1;
/** A probe stands still when nothing in the last minute is further apart than this, degC. OURS. */
const STEADY_WITHIN_C = 0.3;
const STEADY_FOR_MS = 60_000;
/** Sums of hundredths of a degree are not exact. */
const ROUNDING_C = 1e-9;

/** Why a check cannot be judged, in words for the person who makes it. */
export type CannotJudge = { kind: 'cannot'; why: string };
export type Judged = { kind: 'judged' } & Pick<ProbeCheck, 'expectedC' | 'windowC' | 'altitudeM' | 'outcome'>;

/**
 * Judges what a probe read in ice water or boiling water.
 *
 * @param q.readC - what it read with the correction in force, degC
 * @param q.altitudeM - height above the sea, m; needed for boiling, not looked at for ice
 * @returns passed when it is within 1 degC of the truth, edge included; `cannot` without a number or a height
 */
export function judgeCheck(q: {
  kind: CheckKind;
  readC: number;
  altitudeM: number | null;
}): Judged | CannotJudge {
  if (!Number.isFinite(q.readC)) return { kind: 'cannot', why: 'there is no temperature to judge' };
  const altitudeM = q.kind === 'ice' ? null : q.altitudeM;
  if (q.kind === 'boil' && !Number.isFinite(altitudeM)) {
    return { kind: 'cannot', why: 'how high above the sea is not known, so where water boils is not' };
  }
  const expectedC = altitudeM === null ? ICE_C : boilingPointC(altitudeM);
  const isWithin = Math.abs(q.readC - expectedC) <= WINDOW_C + ROUNDING_C;
  const outcome = isWithin ? 'passed' : 'failed';
  return { kind: 'judged', expectedC, windowC: WINDOW_C, altitudeM, outcome };
}

/**
 * The reading that a check may take: the newest, when it is live, usable, and the probe stands still. A suspect one counts only
 * where the one doubt is that its place never gets that hot or cold: ice and boiling water do.
 *
 * @param q.readings - of the last hour or so, ascending in time, degC and epoch ms
 * @param q.newestReasons - why the newest got its flag, REASON bits
 * @param q.nowMs - epoch ms
 */
export function readingForCheck(q: {
  readings: readonly Reading[];
  newestReasons: number;
  nowMs: number;
}): { kind: 'steady'; reading: Reading } | CannotJudge {
  const reading = q.readings.at(-1);
  const intervalMs = typicalIntervalMs(q.readings);
  const quiet = silence({ lastAtMs: reading?.atMs ?? null, intervalMs, nowMs: q.nowMs });
  if (!reading || quiet.silent) return { kind: 'cannot', why: 'no live reading to take: type what it reads' };
  if (!isUsable(reading) || (reading.quality === 3 && q.newestReasons !== REASON.gross)) {
    return { kind: 'cannot', why: 'its newest reading cannot be believed: type what it reads' };
  }
  const spreadC = spreadOverMinute(q.readings, reading, silentAfterMs(intervalMs));
  if (spreadC === null) {
    return { kind: 'cannot', why: 'it has not been heard for a whole minute yet: wait' };
  }
  if (!(spreadC <= STEADY_WITHIN_C + ROUNDING_C)) {
    return {
      kind: 'cannot',
      why: `it still moves, by ${spreadC.toFixed(1)} °C in the last minute: wait until it stands still`,
    };
  }
  return { kind: 'steady', reading };
}

function isUsable({ tempC, quality }: Reading): boolean {
  return quality < 4 && Number.isFinite(tempC);
}

/** Highest less lowest from a minute before the newest on, degC; null when that minute is not covered without a silence. */
function spreadOverMinute(readings: readonly Reading[], newest: Reading, silentMs: number): number | null {
  let [lowC, highC] = [newest.tempC, newest.tempC];
  let laterMs = newest.atMs;
  for (const reading of readings.toReversed()) {
    if (!isUsable(reading)) continue;
    if (!(laterMs - reading.atMs <= silentMs)) return null;
    lowC = Math.min(lowC, reading.tempC);
    highC = Math.max(highC, reading.tempC);
    laterMs = reading.atMs;
    if (newest.atMs - reading.atMs >= STEADY_FOR_MS) return highC - lowC;
  }
  return null;
}
