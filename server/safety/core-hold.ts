import { lethalRate, segmentLethalityMin, type LethalityRule } from './lethality.ts';
import type { CoreRow } from './limit-types.ts';
import type { Sample } from './samples.ts';

/** When it was held long enough, epoch ms, and the longest that it was held, ms. */
export type Held = { metAtMs: number | null; heldMs: number };
/** How far apart two samples may be and still be one row, and how long a single one counts, ms. */
export type Joining = { gapAtMostMs: number; standsMs: number };

const MS_PER_MIN = 60_000;
/** Sums of many short pieces fall short of an exact two minutes by rounding, and by no more than this. */
const ROUNDING_MIN = 1e-9;

/** The longest row of samples at or above one temperature; a colder or suspect one, or too long a gap, ends a row. */
export function heldAtRow(samples: readonly Sample[], row: CoreRow, joining: Joining): Held {
  let runFromMs: number | null = null;
  let beforeMs = NaN;
  let heldMs = 0;
  let metAtMs: number | null = null;
  for (const { atMs, tempC, suspect } of samples) {
    if (!(atMs - beforeMs <= joining.gapAtMostMs)) runFromMs = null;
    runFromMs = !suspect && tempC >= row.tempC ? (runFromMs ?? atMs) : null;
    beforeMs = atMs;
    if (runFromMs === null) continue;
    const runMs = Math.max(joining.standsMs, atMs - runFromMs);
    heldMs = Math.max(heldMs, runMs);
    if (runMs >= row.holdS * 1000) metAtMs ??= atMs;
  }
  return { metAtMs, heldMs };
}

/**
 * All that counts under a lethality rule together, between samples and for the time that a single one stands; times that
 * overlap count once. A single one that is enough by itself is enough, whatever came just before it.
 */
export function heldAsLethality(samples: readonly Sample[], rule: LethalityRule, joining: Joining): Held {
  let sumMin = 0;
  let bestMin = 0;
  let metAtMs: number | null = null;
  let before: Sample | null = null;
  for (const sample of samples) {
    sumMin += creditMin(before, sample, { rule, joining });
    bestMin = Math.max(bestMin, sumMin, aloneMin(sample, { rule, standsMs: joining.standsMs }));
    if (bestMin >= rule.targetMin - ROUNDING_MIN) metAtMs ??= sample.atMs;
    before = sample;
  }
  return { metAtMs, heldMs: bestMin * MS_PER_MIN };
}

function aloneMin(
  { tempC, suspect }: Sample,
  { rule, standsMs }: { rule: LethalityRule; standsMs: number },
): number {
  return suspect ? 0 : (standsMs / MS_PER_MIN) * lethalRate(tempC, rule);
}

function creditMin(
  before: Sample | null,
  after: Sample,
  { rule, joining }: { rule: LethalityRule; joining: Joining },
): number {
  if (after.suspect) return 0;
  const gapMs = before === null ? Infinity : after.atMs - before.atMs;
  const standsMs = Math.min(joining.standsMs, gapMs);
  const stoodMin = aloneMin(after, { rule, standsMs });
  if (before === null || before.suspect || !(gapMs <= joining.gapAtMostMs)) return stoodMin;
  return stoodMin + betweenMin(before, after, { rule, minutes: (gapMs - standsMs) / MS_PER_MIN });
}

/** A straight line between two readings of one probe; next to a hand check, which may be of another spot, only the cooler. */
function betweenMin(
  before: Sample,
  after: Sample,
  { rule, minutes }: { rule: LethalityRule; minutes: number },
): number {
  if (before.byHand || after.byHand) return lethalRate(Math.min(before.tempC, after.tempC), rule) * minutes;
  return segmentLethalityMin({ fromTempC: before.tempC, toTempC: after.tempC, minutes }, rule);
}
