import type { Reading } from '../contract/reading.ts';
import { heldAsLethality, heldAtRow, type Held, type Joining } from './core-hold.ts';
import { CORE_AT_MOST_C, markedCore } from './credible-core.ts';
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
  /**
   * `met` stays met: it is about what the food has been through. `not-met`: a live probe does not show it yet, or the newest
   * measurement is a check by hand below every row. `unknown`: anything else.
   */
  state: 'met' | 'not-met' | 'unknown';
  metAtMs: number | null;
  /** Best so far: longest time at the row's temperature, or for a lethality rule its equivalent at the reference, ms. */
  heldMs: number;
  /** Highest credible core temperature measured, degC. */
  highestC: number | null;
  /** The row that is met, or the one nearest to it. */
  row: CoreRow;
};

/** OURS: a thermometer has to stand still to be read, so a check by hand is this long at its temperature, ms. */
const CHECK_STANDS_MS = 6_000;
/** OURS: two checks by hand no further apart than this tell of the time between them, ms. */
const CHECKS_APART_AT_MOST_MS = 5 * 60_000;
const BETWEEN_CHECKS: Joining = { gapAtMostMs: CHECKS_APART_AT_MOST_MS, standsMs: CHECK_STANDS_MS };

/**
 * Whether a core has met its limit, by measurement alone; nothing is added for what may happen after the last one.
 *
 * The probe: only readings that can be the core of this food count (`credibleCore`), and only in an unbroken row; a silence
 * or a suspect reading is credited with nothing. A check by hand among them counts at the cooler of it and its neighbours.
 *
 * Checks by hand, by themselves: each is credited with 6 s at its temperature (80 degC meets the 80 degC for 6 s of the UK
 * table, 75 degC does not), and two that are at most 5 min apart with the time between them at the cooler of the two. So a
 * row of up to 6 s is met by one check, any other by two checks that are both at its temperature and its hold apart. The two
 * credits are never added together: the better one is the verdict.
 *
 * @returns times in epoch ms, durations in ms
 * @throws TypeError when nowMs is no number; RangeError when readings are not ascending, or toleranceC is not 0 or more
 */
export function watchCore(q: CoreQuestion): CoreVerdict {
  const toleranceC = q.toleranceC ?? 0;
  if (!(toleranceC >= 0))
    throw new RangeError(`toleranceC: expected 0 degC or more, got ${String(toleranceC)}`);
  const samples = plausibleSamples(q);
  const credible = samples.filter(({ suspect }) => !suspect);
  const judged = samples.map((sample) => ({ ...sample, tempC: sample.tempC - toleranceC }));
  const best = bestOf([
    ...heldBy(judged, q.limit, { gapAtMostMs: q.silentAfterMs, standsMs: 0 }),
    ...heldBy(
      judged.filter(({ byHand }) => byHand),
      q.limit,
      BETWEEN_CHECKS,
    ),
  ]);
  return {
    state: best.metAtMs !== null ? 'met' : stateUnmet(judged, q),
    ...best,
    highestC:
      credible.length === 0 ? null : credible.reduce((highC, { tempC }) => Math.max(highC, tempC), -Infinity),
  };
}

/** Without those from before it went on; what cannot be the core of this food is suspect. */
function plausibleSamples(q: CoreQuestion): Sample[] {
  const since = <T extends { atMs: number }>(rows: readonly T[]) =>
    rows.filter(({ atMs }) => atMs >= q.fromMs);
  const samples = usableSamples({
    readings: markedCore(since(q.readings), q.silentAfterMs),
    spotChecks: since(q.spotChecks),
    nowMs: q.nowMs,
  });
  return samples.map((sample) => (sample.tempC > CORE_AT_MOST_C ? { ...sample, suspect: true } : sample));
}

function stateUnmet(judged: readonly Sample[], q: CoreQuestion): 'not-met' | 'unknown' {
  const credible = judged.filter(({ suspect }) => !suspect);
  const probe = credible.findLast(({ byHand }) => !byHand);
  if (probe !== undefined && q.nowMs - probe.atMs <= q.silentAfterMs) return 'not-met';
  const newest = credible.at(-1);
  const lowestC = Math.min(...q.limit.rows.map(({ tempC }) => tempC));
  return newest?.byHand === true && newest.tempC < lowestC ? 'not-met' : 'unknown';
}

type HeldRow = Held & { row: CoreRow };

function heldBy(
  samples: readonly Sample[],
  { rows, lethality }: CoreLimit,
  joining: Joining,
): readonly [HeldRow, ...HeldRow[]] {
  if (lethality !== null) return [{ ...heldAsLethality(samples, lethality, joining), row: rows[0] }];
  const [first, ...others] = rows;
  const held = (row: CoreRow): HeldRow => ({ ...heldAtRow(samples, row, joining), row });
  return [held(first), ...others.map(held)];
}

function bestOf(tried: readonly [HeldRow, ...HeldRow[]]): HeldRow {
  return tried.reduce((best, next) => (nearness(next) > nearness(best) ? next : best));
}

/** Met beats not met, and the earlier the better; else the share of the hold time. */
function nearness({ metAtMs, heldMs, row }: HeldRow): number {
  if (metAtMs !== null) return Number.MAX_SAFE_INTEGER - metAtMs;
  return row.holdS > 0 ? heldMs / (row.holdS * 1000) : 0;
}
