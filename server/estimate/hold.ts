import { normalPoints } from './normal.ts';
import { tenQuantilesMs } from './quantiles.ts';
import { binned, median, noiseC, usableSamples } from './samples.ts';
import type { Sample } from './samples.ts';
import { robustLine } from './trend.ts';
import type { Trend } from './trend.ts';
import type { HoldForecast, HoldQuestion } from './types.ts';

/** Windows that the slope is taken from: the shortest one that gives it well enough. */
const WINDOWS_MIN = [12, 20, 30, 45] as const;
const BIN_S = 60;
/** Less than this many minutes of readings is a glance, not a trend. */
const LEARN_MIN = 10;
const FEWEST_BINS = 4;
/** Good enough: so many degC per minute, or such a share of the slope itself. */
const SLOPE_SD_ENOUGH = 0.006;
const SLOPE_SHARE_ENOUGH = 0.12;
/** A quiet bag still wanders with sun and handling, degC/min. Assumption. */
const SLOPE_SD_LEAST = 0.004;
/** Newton's law against real holds: two rates instead of one, ice that runs out, a lid left ajar. Assumption. */
const RATE_LOG_SD = 0.2;
/** Air outside where nobody measures it, and how well a measured one stands for the time to come, degC. Assumption. */
const AMBIENT_C = { cold: 22, hot: 18 } as const;
const AMBIENT_SD_C = 6;
const AMBIENT_MEASURED_SD_C = 2;
const TOO_OLD_S = 30 * 60;
/** So far inside the trend is no noise any more, degC; and about so long until a new trend can be told, min. OURS. */
const TURNED_C = 0.5;
const SETTLE_MIN = 5;
const DRAWS = 80;
/** Waits beyond this say "may never": nothing is held so long on one forecast. */
const LONGEST_WAIT_S = 48 * 3600;

function isPast(q: HoldQuestion, tempC: number): boolean {
  return q.kind === 'cold' ? tempC > q.limitC : tempC < q.limitC;
}

/** The trend over the shortest window that tells the slope well enough, else over the longest there is. */
function trendOf(samples: readonly Sample[], last: Sample): Trend | null {
  let best: Trend | null = null;
  for (const windowMin of WINDOWS_MIN) {
    const used = samples.filter(({ atS }) => atS >= last.atS - windowMin * 60);
    const bins = binned(used, Math.max(Math.round((windowMin * 60) / BIN_S), 1));
    if (bins.length < FEWEST_BINS) continue;
    best = robustLine(bins, noiseC(used));
    const enough = Math.max(SLOPE_SD_ENOUGH, SLOPE_SHARE_ENOUGH * Math.abs(best.slopeCPerMin));
    if (best.slopeSdCPerMin < enough) break;
  }
  return best;
}

/** Ice was added or the burner turned up: the newest readings are well inside of where the trend says they should be. */
function hasTurned({ kind }: HoldQuestion, trend: Trend, latestC: number): boolean {
  const insideC = kind === 'cold' ? trend.levelC - latestC : latestC - trend.levelC;
  return insideC > TURNED_C;
}

/** Newton's law through level and slope: minutes to the limit, Infinity when it leads elsewhere. */
function waitMin(q: HoldQuestion, trend: Trend, slopeCPerMin: number, ambientC: number): number {
  const toward = q.kind === 'cold' ? 1 : -1;
  if (toward * (q.limitC - trend.levelC) <= 0) return 0;
  const pullC = toward * (ambientC - trend.levelC);
  const leftC = toward * (ambientC - q.limitC);
  const rate = toward * slopeCPerMin;
  if (!(rate > 0) || !(leftC > 0)) return Number.POSITIVE_INFINITY;
  const timeConstantMin = (toward * (ambientC - trend.middleC)) / rate;
  return timeConstantMin > 0 ? timeConstantMin * Math.log(pullC / leftC) : Number.POSITIVE_INFINITY;
}

function waitsS(q: HoldQuestion, trend: Trend): number[] {
  const middleC = q.ambientC ?? AMBIENT_C[q.kind];
  const ambientSdC = q.ambientC === null ? AMBIENT_SD_C : AMBIENT_MEASURED_SD_C;
  const slopeSd = Math.hypot(trend.slopeSdCPerMin, SLOPE_SD_LEAST);
  return normalPoints(DRAWS, 3).map(([slopeScore = 0, rateScore = 0, ambientScore = 0]) => {
    const slope = (trend.slopeCPerMin + slopeSd * slopeScore) * Math.exp(RATE_LOG_SD * rateScore);
    const wait = 60 * waitMin(q, trend, slope, middleC + ambientSdC * ambientScore);
    return wait <= LONGEST_WAIT_S ? wait : Number.POSITIVE_INFINITY;
  });
}

/**
 * When what is held cold rises above its limit, or what is held hot falls below it: Newton's law through the newest
 * level and slope, with the scatter of both and of the air outside. Openings of a bag are spikes and do not count.
 * It warns; it never says that a hold is all right.
 *
 * @returns ten quantiles in epoch ms, null = may never; or why nothing can be said
 * @throws RangeError when nowMs or limitC is not finite
 */
export function forecastHold(q: HoldQuestion): HoldForecast {
  if (!Number.isFinite(q.nowMs)) throw new RangeError(`nowMs: expected a finite number, got ${q.nowMs}`);
  if (!Number.isFinite(q.limitC)) throw new RangeError(`limitC: expected a finite number, got ${q.limitC}`);
  const samples = usableSamples(q.readings, q.nowMs, q.nowMs);
  const last = samples.at(-1);
  if (!last) return { kind: 'none', why: 'no readings', learnMin: LEARN_MIN };
  if (last.atS < -TOO_OLD_S) return { kind: 'none', why: 'the last reading is too old', learnMin: null };
  const latestC = median(samples.slice(-3).map(({ tempC }) => tempC));
  if (isPast(q, latestC) || isPast(q, last.tempC))
    return { kind: 'none', why: 'past the limit', learnMin: null };
  const first = samples.find(({ atS }) => atS >= last.atS - (WINDOWS_MIN.at(-1) ?? 0) * 60) ?? last;
  const spanMin = (last.atS - first.atS) / 60;
  const trend = spanMin >= LEARN_MIN ? trendOf(samples, last) : null;
  if (!trend) return { kind: 'none', why: 'learning the trend', learnMin: Math.max(LEARN_MIN - spanMin, 1) };
  if (hasTurned(q, trend, latestC))
    return { kind: 'none', why: 'just changed, learning again', learnMin: SETTLE_MIN };
  return { kind: 'eta', quantilesMs: tenQuantilesMs(waitsS(q, trend), q.nowMs + last.atS * 1000, q.nowMs) };
}
