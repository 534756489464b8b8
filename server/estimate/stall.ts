import type { Course } from './course.ts';
import { lineThroughNewest } from './samples.ts';
import type { Sample } from './samples.ts';

/**
 * In big joints on a mild fire evaporation can take all the heat for hours: published stalls lie at cores of 65 to
 * 75 degC. Sign: the slope has fallen below a quarter of its earlier maximum while the fire is steady, between 55 and
 * 80 degC.
 */
const STALL_FROM_C = 55;
const STALL_TO_C = 80;
const SLOPE_SHARE = 0.25;
/** Thin pieces are done before this could happen. Assumption. */
const MIN_ELAPSED_S = 40 * 60;
const WINDOW_MIN_S = 600;
const WINDOW_SHARE = 0.08;
/** So near the target a slope falls anyway, and the curve tells more than the word. Assumption. */
const NEARLY_C = 5;

type Slope = { atS: number; slopeCPerS: number; tempC: number };

function slopesOf(samples: readonly Sample[], windowS: number): Slope[] {
  const slopes: Slope[] = [];
  const last = samples.at(-1);
  if (!last) return slopes;
  let begin = 0;
  let end = 0;
  for (let atS = windowS; atS <= last.atS + 1e-9; atS += windowS / 4) {
    const toS = Math.min(atS, last.atS);
    while ((samples[end]?.atS ?? Number.POSITIVE_INFINITY) <= toS) end += 1;
    while ((samples[begin]?.atS ?? Number.POSITIVE_INFINITY) < toS - windowS) begin += 1;
    const line = end - begin >= 4 ? lineThroughNewest(samples.slice(begin, end), windowS) : null;
    if (line) slopes.push({ atS: line.atS, slopeCPerS: line.slopeCPerS, tempC: line.tempC });
  }
  return slopes;
}

/** Seconds since on at which the stall began, or null when there is none. `samples` may be thinned. */
export function stalledSinceS(samples: readonly Sample[], course: Course, targetC: number): number | null {
  const last = samples.at(-1);
  if (!last || last.atS < MIN_ELAPSED_S) return null;
  const windowS = Math.max(WINDOW_MIN_S, WINDOW_SHARE * last.atS);
  const slopes = slopesOf(samples, windowS);
  const now = lineThroughNewest(samples, windowS);
  if (!now || !(now.tempC > STALL_FROM_C && now.tempC < STALL_TO_C) || now.tempC > targetC - NEARLY_C)
    return null;
  const changedS = Math.max(
    0,
    ...course.stays.map(({ fromS }) => fromS),
    ...course.openings.map(({ fromS, toS }) => (Number.isFinite(toS) ? toS : fromS)),
  );
  if (last.atS - changedS < 2 * windowS && changedS > 0) return null;
  const top = Math.max(...slopes.map(({ slopeCPerS }) => slopeCPerS));
  if (!(top > 0) || !(now.slopeCPerS < SLOPE_SHARE * top)) return null;
  const before = slopes.findLast(({ slopeCPerS }) => slopeCPerS >= SLOPE_SHARE * top);
  return before?.atS ?? last.atS;
}
