import type { Reading } from '../contract/reading.ts';
import { lethalRate, segmentLethalityMin, type LethalityRule } from './lethality.ts';
import type { CoreLimit, CoreRow } from './limit-types.ts';
import { usableSamples, type HandReading, type Sample } from './samples.ts';

export type CoreQuestion = {
  /** Raw core readings, ascending in time. */
  readings: readonly Reading[];
  spotChecks: readonly HandReading[];
  /** Nothing before this moment counts, epoch ms: when the batch first went on. */
  fromMs: number;
  limit: CoreLimit;
  nowMs: number;
  silentAfterMs: number;
  /** Taken off every temperature before it is judged, degC; 0 when left out. */
  toleranceC?: number;
};

export type CoreVerdict = {
  /** `met` stays met: it is about what the food has been through. `unknown`: not met, and nothing fresh to go by. */
  state: 'met' | 'not-met' | 'unknown';
  metAtMs: number | null;
  /** Best so far: longest time at the row's temperature, or for a lethality rule its equivalent at the reference, ms. */
  heldMs: number;
  /** Highest credible core temperature measured, degC. */
  highestC: number | null;
  /** The row that is met, or the one nearest to it. */
  row: CoreRow;
};

/** Hotter than any wet food gets: the tip is in the fire, not in the food. Suspect range of a core, our own choice. */
const CORE_AT_MOST_C = 110;
/** A core that rises faster than this was not cooked faster: the tip moved. Our own choice, to be tuned on real cooks. */
const RISE_AT_MOST_C_PER_MIN = 10;
/** Steps up to this size are resolution and noise, whatever the interval. Our own choice. */
const STEP_AT_MOST_C = 2;
const MS_PER_MIN = 60_000;
/** Sums of many short pieces fall short of an exact two minutes by rounding, and by no more than this. */
const ROUNDING_MIN = 1e-9;

/**
 * Whether a core has met its limit, by measurement alone. Only readings in an unbroken row count: a silence or a suspect
 * reading is credited with nothing, and nothing is added for what may happen after the last reading.
 *
 * @returns times in epoch ms, durations in ms
 * @throws TypeError when nowMs is no number; RangeError when readings are not ascending, or toleranceC is not 0 or more
 */
export function watchCore(q: CoreQuestion): CoreVerdict {
  const toleranceC = q.toleranceC ?? 0;
  if (!(toleranceC >= 0))
    throw new RangeError(`toleranceC: expected 0 degC or more, got ${String(toleranceC)}`);
  const samples = withoutImplausible(usableSamples(q).filter(({ atMs }) => atMs >= q.fromMs));
  const credible = samples.filter(({ suspect }) => !suspect);
  const judged = samples.map((sample) => ({ ...sample, tempC: sample.tempC - toleranceC }));
  const best =
    q.limit.lethality === null
      ? bestRow(judged, q)
      : { ...heldAsLethality(judged, q.limit.lethality, q.silentAfterMs), row: q.limit.rows[0] };
  const last = credible.at(-1);
  const fresh = last !== undefined && q.nowMs - last.atMs <= q.silentAfterMs;
  return {
    state: best.metAtMs !== null ? 'met' : fresh ? 'not-met' : 'unknown',
    ...best,
    highestC:
      last === undefined ? null : credible.reduce((highC, { tempC }) => Math.max(highC, tempC), -Infinity),
  };
}

/** Marks as suspect what cannot be the core of food: too hot, or reached by a leap. */
function withoutImplausible(samples: readonly Sample[]): Sample[] {
  let before: Sample | null = null;
  return samples.map((sample) => {
    const leapt = before !== null && !sample.byHand && leaps(before, sample);
    if (!sample.byHand) before = sample;
    return leapt || sample.tempC > CORE_AT_MOST_C ? { ...sample, suspect: true } : sample;
  });
}

function leaps(before: Sample, after: Sample): boolean {
  const allowedC = (RISE_AT_MOST_C_PER_MIN * (after.atMs - before.atMs)) / MS_PER_MIN;
  return after.tempC - before.tempC > Math.max(STEP_AT_MOST_C, allowedC);
}

type Held = { metAtMs: number | null; heldMs: number };

function bestRow(
  samples: readonly Sample[],
  { limit, silentAfterMs }: CoreQuestion,
): Held & { row: CoreRow } {
  const tried = limit.rows.map((row) => ({ ...heldAtRow(samples, row, silentAfterMs), row }));
  return tried.reduce((best, next) => (nearness(next) > nearness(best) ? next : best));
}

/** Met beats not met, and the earlier the better; else the share of the hold time. */
function nearness({ metAtMs, heldMs, row }: Held & { row: CoreRow }): number {
  if (metAtMs !== null) return Number.MAX_SAFE_INTEGER - metAtMs;
  return row.holdS > 0 ? heldMs / (row.holdS * 1000) : 0;
}

function heldAtRow(samples: readonly Sample[], row: CoreRow, silentAfterMs: number): Held {
  let runFromMs: number | null = null;
  let beforeMs = NaN;
  let heldMs = 0;
  let metAtMs: number | null = null;
  for (const { atMs, tempC, suspect } of samples) {
    if (!(atMs - beforeMs <= silentAfterMs)) runFromMs = null;
    runFromMs = !suspect && tempC >= row.tempC ? (runFromMs ?? atMs) : null;
    beforeMs = atMs;
    if (runFromMs === null) continue;
    heldMs = Math.max(heldMs, atMs - runFromMs);
    if (atMs - runFromMs >= row.holdS * 1000) metAtMs ??= atMs;
  }
  return { metAtMs, heldMs };
}

function heldAsLethality(samples: readonly Sample[], rule: LethalityRule, silentAfterMs: number): Held {
  let sumMin = 0;
  let metAtMs: number | null = null;
  let before: Sample | null = null;
  for (const sample of samples) {
    if (before !== null && sample.atMs - before.atMs <= silentAfterMs)
      sumMin += creditMin(before, sample, rule);
    if (sumMin >= rule.targetMin - ROUNDING_MIN) metAtMs ??= sample.atMs;
    before = sample;
  }
  return { metAtMs, heldMs: sumMin * MS_PER_MIN };
}

/** A straight line between two readings of one probe; next to a hand check, which may be of another spot, only the cooler. */
function creditMin(before: Sample, after: Sample, rule: LethalityRule): number {
  if (before.suspect || after.suspect) return 0;
  const minutes = (after.atMs - before.atMs) / MS_PER_MIN;
  if (before.byHand || after.byHand) return lethalRate(Math.min(before.tempC, after.tempC), rule) * minutes;
  return segmentLethalityMin({ fromTempC: before.tempC, toTempC: after.tempC, minutes }, rule);
}
