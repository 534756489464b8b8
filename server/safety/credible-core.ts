import type { Reading } from '../contract/reading.ts';
import { assertAscending, saysSomething } from './samples.ts';
import { silentAfterMs, typicalIntervalMs } from './silence.ts';

/** OURS: hotter than any wet food gets, so the tip is in the fire and not in the food. */
export const CORE_AT_MOST_C = 110;
/** OURS: colder than this it was seen raw. No row of any rule set counts below 60 degC. */
const RAW_BELOW_C = 45;
/** OURS: a probe that was put in late is believed after this long at what food can do. */
const SETTLED_AFTER_MS = 3 * 60_000;
/** OURS, to be tuned on real cooks: a core that rises faster was not cooked faster, the tip moved. */
const RISE_AT_MOST_C_PER_MIN = 10;
/**
 * OURS: what a run of small steps is held to, so that the noise allowed to each does not add up to a slow slip. The fastest
 * minute of 116 burgers and kofta of the layer model that the accuracy figures use was 16 degC, the next 14.5 degC.
 */
const RUN_AT_MOST_C_PER_MIN = 15;
/** OURS: a core that falls faster is a tip that came from somewhere hotter, or went out of the food. */
const FALL_AT_MOST_C_PER_MIN = 6;
/** OURS: resolution and noise of a probe, whatever the interval. */
const STEP_AT_MOST_C = 2;
/** A rise of exactly 10 degC in a minute may be more by rounding, and by no more than this. */
const ROUNDING_C = 1e-9;
const MS_PER_MIN = 60_000;

/** The reading that the next is compared with, and the run it ends: `runC` never rose faster than a run may. */
type Level = { atMs: number; tempC: number; runC: number };
/** Readings in a row that food can make; `highC` is the highest, coming down as fast as food can. */
type SettlingRow = { sinceMs: number; level: Level; highC: number };
type Course = {
  anchored: boolean;
  /** The last reading that passed. */
  passed: Level | null;
  row: SettlingRow | null;
  credible: boolean;
};
const AT_FIRST: Course = { anchored: false, passed: null, row: null, credible: false };

/**
 * The readings of a core probe that can be the core of the food that went on, good or not evaluated (1, 2). Judged in order
 * of time, by what came before alone:
 *
 * - nothing passes until the core is anchored: read below 45 degC (seen raw), or three minutes of readings in a row that
 *   food can make (up by at most 10 degC/min or 2 degC, down by at most 6 degC/min or 2 degC); above 110 degC neither
 *   holds any longer;
 * - then a reading passes unless it is above the last that passed by more than 10 degC/min since then, or 2 degC; what is
 *   above fails until that rising ceiling has reached it. A fall passes.
 *
 * The 2 degC are for noise: over a run of readings they do not add up to more than 15 degC/min, or a probe that sends every
 * second could climb at 2 degC a second. Method and constants are our own.
 *
 * What it cannot see: a tip that stays in air which is no hotter than food, once the ceiling has reached it; and a probe that
 * was left for three minutes in other hot food after this food went on.
 *
 * @param readings - of one probe from when the batch went on, ascending in time, degC and epoch ms
 * @param silentMs - a longer gap ends a row of readings, ms; when left out, what these readings make of it
 * @throws RangeError when readings are not ascending
 */
export function credibleCore(readings: readonly Reading[], silentMs?: number): Reading[] {
  return markedCore(readings, silentMs).filter(({ quality }) => quality !== 3);
}

/** As `credibleCore`, but what fails stays, marked suspect (3); without what says nothing. */
export function markedCore(
  readings: readonly Reading[],
  silentMs: number = silentAfterMs(typicalIntervalMs(readings)),
): Reading[] {
  assertAscending(readings);
  let course = AT_FIRST;
  return readings.filter(saysSomething).map((reading) => {
    course = after(course, reading, silentMs);
    return course.credible ? reading : { ...reading, quality: 3 };
  });
}

function after(before: Course, reading: Reading, silentMs: number): Course {
  const { atMs, tempC, quality } = reading;
  /** The ceiling stays: what was in the fire is no hotter inside than food can have become since. */
  if (tempC > CORE_AT_MOST_C) return { ...AT_FIRST, passed: before.passed };
  if (quality === 3) return { ...before, row: null, credible: false };
  const row = joined(before.row, reading, silentMs);
  const anchored = before.anchored || tempC < RAW_BELOW_C || atMs - row.sinceMs >= SETTLED_AFTER_MS;
  const credible = anchored && (before.passed === null || !leaps(before.passed, reading));
  return { anchored, row, credible, passed: credible ? next(before.passed, reading) : before.passed };
}

function leaps(before: Level, { atMs, tempC }: Reading): boolean {
  const minutes = (atMs - before.atMs) / MS_PER_MIN;
  const stepC = Math.max(STEP_AT_MOST_C, RISE_AT_MOST_C_PER_MIN * minutes);
  const runC = STEP_AT_MOST_C + RUN_AT_MOST_C_PER_MIN * minutes;
  return tempC - before.tempC > stepC + ROUNDING_C || tempC - before.runC > runC + ROUNDING_C;
}

function next(before: Level | null, { atMs, tempC }: Reading): Level {
  if (before === null) return { atMs, tempC, runC: tempC };
  const risenC = before.runC + (RUN_AT_MOST_C_PER_MIN * (atMs - before.atMs)) / MS_PER_MIN;
  return { atMs, tempC, runC: Math.min(tempC, risenC) };
}

function joined(row: SettlingRow | null, reading: Reading, silentMs: number): SettlingRow {
  const { atMs, tempC } = reading;
  const anew = { sinceMs: atMs, level: next(null, reading), highC: tempC };
  if (row === null || atMs - row.level.atMs > silentMs || leaps(row.level, reading)) return anew;
  const fallC = (FALL_AT_MOST_C_PER_MIN * (atMs - row.level.atMs)) / MS_PER_MIN;
  if (row.highC - tempC > Math.max(STEP_AT_MOST_C, fallC) + ROUNDING_C) return anew;
  return {
    sinceMs: row.sinceMs,
    level: next(row.level, reading),
    highC: Math.max(tempC, row.highC - fallC),
  };
}
