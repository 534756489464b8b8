import { forecastByClock, forecastCook } from '../../server/estimate/forecast.ts';
import type { CookQuestion, Forecast } from '../../server/estimate/types.ts';
import { exponentialFit, straightLine } from './baselines.ts';
import type { Cook } from './cooks.ts';

/** Shares of the whole cook at which a forecast is asked for. */
const PROGRESS = [0.25, 0.4, 0.55, 0.7, 0.85] as const;
/** The points that a forecast's ten quantiles stand for. */
const SHARES = [0.05, 0.15, 0.25, 0.35, 0.45, 0.55, 0.65, 0.75, 0.85, 0.95] as const;
/** A moment that never comes is scored as if it came this many whole cooks later. */
const NEVER_COOKS = 3;

export type Method = 'curve' | 'clock' | 'line' | 'exponential';

/** One asked moment of one cook. Errors in shares of the whole cook; positive = said too late. */
type Score = { signed: number; crps: number; isInside: boolean | null; wideness: number | null };

export type Figures = {
  method: Method;
  progress: number;
  asked: number;
  answered: number;
  /** Of the error of the remaining time, as a share of the whole cook. */
  medianError: number;
  p90Error: number;
  /** Median of the signed error: above 0 = late. */
  bias: number;
  meanCrps: number;
  /** Share of cooks inside the 10 % to 90 % range; null for a method without one. */
  coverage: number | null;
  medianWidth: number | null;
};

function pinball(share: number, error: number): number {
  return error >= 0 ? share * error : (share - 1) * error;
}

/** @param momentsMs ascending, one for each of SHARES, null = never */
function scoreOf(momentsMs: readonly (number | null)[], cook: Cook, hasRange: boolean): Score {
  const wholeMs = cook.arrivalMs - cook.onMs;
  const at = momentsMs.map((ms) => (ms === null ? NEVER_COOKS : (ms - cook.arrivalMs) / wholeMs));
  const middle = (at[4]! + at[5]!) / 2;
  const [low, high] = [(at[0]! + at[1]!) / 2, (at[8]! + at[9]!) / 2];
  const loss = SHARES.reduce((sum, share, i) => sum + pinball(share, 0 - at[i]!), 0);
  return {
    signed: middle,
    crps: (2 * loss) / SHARES.length,
    isInside: hasRange ? low <= 0 && high >= 0 : null,
    wideness: hasRange ? high - low : null,
  };
}

/** What the estimator is asked about a cook at a moment, without the core's readings. */
export function questionAt(cook: Cook, nowMs: number): Omit<CookQuestion, 'readings'> {
  const zone = cook.zones.findLast(({ fromMs }) => fromMs <= nowMs) ?? cook.zones[0]!;
  return {
    nowMs,
    food: cook.food,
    shape: cook.shape,
    thicknessMm: cook.thicknessMm,
    targetC: cook.targetC,
    turnPlan: cook.turnPlan,
    zone: zone.zone,
    zoneC: zone.sensorC,
    events: cook.events.filter(({ atMs }) => atMs <= nowMs),
    startTempC: null,
  };
}

function ask(cook: Cook, progress: number, method: Method): Score | null {
  const nowMs = Math.round(cook.onMs + progress * (cook.arrivalMs - cook.onMs));
  const readings = cook.readings.filter(({ atMs }) => atMs <= nowMs);
  if (method === 'line' || method === 'exponential') {
    const moment = (method === 'line' ? straightLine : exponentialFit)(readings, cook.targetC);
    return scoreOf(
      SHARES.map(() => moment),
      cook,
      false,
    );
  }
  const question = questionAt(cook, nowMs);
  const forecast: Forecast =
    method === 'curve'
      ? forecastCook({ ...question, readings })
      : forecastByClock({ ...question, spotCheck: null });
  return forecast.kind === 'eta' ? scoreOf(forecast.quantilesMs, cook, true) : null;
}

function at(sorted: readonly number[], share: number): number {
  return sorted[Math.min(Math.floor(share * sorted.length), sorted.length - 1)] ?? Number.NaN;
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, x) => sum + x, 0) / values.length;
}

function figuresOf(method: Method, progress: number, asked: number, scores: readonly Score[]): Figures {
  const sizes = scores.map(({ signed }) => Math.abs(signed)).sort((a, b) => a - b);
  const signed = scores.map((score) => score.signed).sort((a, b) => a - b);
  const widths = scores
    .flatMap(({ wideness }) => (wideness === null ? [] : [wideness]))
    .sort((a, b) => a - b);
  const inside = scores.filter(({ isInside }) => isInside === true).length;
  return {
    method,
    progress,
    asked,
    answered: scores.length,
    medianError: at(sizes, 0.5),
    p90Error: at(sizes, 0.9),
    bias: at(signed, 0.5),
    meanCrps: mean(scores.map(({ crps }) => crps)),
    coverage: widths.length > 0 ? inside / scores.length : null,
    medianWidth: widths.length > 0 ? at(widths, 0.5) : null,
  };
}

/** Figures at each share of the cook. Baselines are scored where the curve answers, and only there. */
export function measureAll(cooks: readonly Cook[]): Figures[] {
  const scoresOf = (some: readonly Cook[], progress: number, method: Method): Score[] =>
    some.map((cook) => ask(cook, progress, method)).filter((score) => score !== null);
  const clock = figuresOf('clock', 0, cooks.length, scoresOf(cooks, 0, 'clock'));
  const rows = PROGRESS.flatMap((progress) => {
    const asked = cooks.map((cook) => ({ cook, score: ask(cook, progress, 'curve') }));
    const answered = asked.filter(({ score }) => score !== null);
    const comparable = answered.map(({ cook }) => cook);
    return [
      figuresOf(
        'curve',
        progress,
        cooks.length,
        answered.map(({ score }) => score!),
      ),
      figuresOf('line', progress, cooks.length, scoresOf(comparable, progress, 'line')),
      figuresOf('exponential', progress, cooks.length, scoresOf(comparable, progress, 'exponential')),
    ];
  });
  return [clock, ...rows];
}
