import type { SpotCheckView, StepMark } from './detail.ts';
import type { Row } from '../../../server/contract/board.ts';
import { MINUTE_MS, minutesBetween } from '../../format/duration.ts';
import { limitText } from '../../format/temperature.ts';
import { STEP_WORDS } from '../../words.ts';
import { isHold, suspectMark } from '../live/row-view.ts';
import { AROUND_AHEAD_MIN, AROUND_BACK_MIN } from './history.ts';
import type { History, Span } from './history.ts';

export type XY = { x: number; y: number };
export type Level = { y: number; text: string; kind: 'target' | 'limit' };
export type ChartModel = {
  xMin: number;
  xMax: number;
  yMin: number;
  yMax: number;
  /** Last values, with a break (NaN) wherever nothing was read. */
  line: XY[];
  /** Lowest and highest of each bucket where they differ: thin upright strokes. */
  spread: { x: number; low: number; high: number }[];
  gaps: { from: number; to: number; low: number; high: number; text: string }[];
  levels: Level[];
  marks: { x: number; text: string }[];
  checks: XY[];
  curves: { points: XY[]; isLate: boolean }[];
  coals: { x: number; isLate: boolean }[];
  coalsY: number | null;
  gateX: number | null;
  serveX: number | null;
  restMin: number;
  /** A bag or pot: its moments are square blocks, as on the live screen. */
  isHold: boolean;
  now: XY | null;
  /** Stands behind the newest value: a question mark while it is suspect. */
  nowMark: string;
};
export type ChartInput = {
  row: Row;
  history: History;
  steps: readonly StepMark[];
  checks: readonly SpotCheckView[];
  nowMs: number;
  span: Span;
  isLost: boolean;
};

const CURVE_POINTS = 20;
/** A projected curve starts a quarter steeper than a straight line and ends flatter: food closes in on its heat. */
const CURVE_BEND = 0.25;
const LEAST_SPREAD_C = 0.3;

/** Everything that the item chart draws, x in minutes from now, y in degC. Pure. */
export function chartModel(input: ChartInput): ChartModel {
  const { row, history, nowMs, span } = input;
  const x = (atMs: number): number => minutesBetween(nowMs, atMs);
  const levels = levelsOf(row);
  const line = lineOf(history, x);
  const xMin = span === 'around' ? -AROUND_BACK_MIN : Math.min(-AROUND_BACK_MIN, (line[0]?.x ?? 0) - 5);
  const xMax = AROUND_AHEAD_MIN;
  const { yMin, yMax } = heights(line, {
    levels,
    checks: input.checks,
    leastC: isHold(row) ? LEAST_HOLD_C : LEAST_COOK_C,
  });
  const projected = projection(input, levels, xMax);
  return {
    xMin,
    xMax,
    yMin,
    yMax,
    line,
    spread: spreadOf(history, x),
    gaps: gapsOf(history, x, { low: yMin, high: yMax }),
    levels,
    marks: input.steps.map(({ step, atMs }) => ({ x: x(atMs), text: STEP_WORDS[step] })),
    checks: input.checks.map(({ atMs, tempC }) => ({ x: x(atMs), y: tempC })),
    ...projected,
    gateX: row.gateMs === null ? null : x(row.gateMs),
    serveX: row.serveAtMs === null ? null : x(row.serveAtMs),
    restMin: row.restMin,
    isHold: isHold(row),
    now: input.isLost || row.tempC === null ? null : { x: 0, y: row.tempC },
    nowMark: suspectMark(row),
  };
}

/** A doneness target and a critical limit are two different lines; a bag or pot has its limit only. */
function levelsOf({ targetC, limit }: Row): Level[] {
  const target: Level[] =
    targetC === null ? [] : [{ y: targetC, text: `Take off at ${limitText(targetC)}`, kind: 'target' }];
  const critical: Level[] =
    limit === null ? [] : [{ y: limit.valueC, text: `Limit ${limit.text}`, kind: 'limit' }];
  return [...target, ...critical];
}

function lineOf({ stretches }: History, x: (atMs: number) => number): XY[] {
  return stretches.flatMap((stretch, index) => {
    const points = stretch.map(([atMs, , , lastC]) => ({ x: x(atMs), y: lastC }));
    const first = points[0];
    return index === 0 || first === undefined ? points : [{ x: first.x, y: NaN }, ...points];
  });
}

function spreadOf({ stretches }: History, x: (atMs: number) => number): ChartModel['spread'] {
  return stretches
    .flat()
    .filter(([, minC, maxC]) => maxC - minC > LEAST_SPREAD_C)
    .map(([atMs, minC, maxC]) => ({ x: x(atMs), low: minC, high: maxC }));
}

type Heights = { low: number; high: number };

function gapsOf(history: History, x: (atMs: number) => number, whole: Heights): ChartModel['gaps'] {
  return history.gaps.map(({ fromMs, toMs }) => ({
    from: x(fromMs),
    to: x(toMs),
    ...whole,
    text: `${Math.max(1, Math.round((toMs - fromMs) / MINUTE_MS))} min`,
  }));
}

/** What food can have, degC. A probe that fell into the fire or broke must not squeeze the curve of the food. */
const LEAST_FOOD_C = -30;
const MOST_FOOD_C = 130;
/** The least stretch of temperature that the chart shows, so that noise does not look like news. */
const LEAST_HOLD_C = 4;
const LEAST_COOK_C = 30;
type Shown = { levels: readonly Level[]; checks: readonly SpotCheckView[]; leastC: number };

function heights(line: readonly XY[], { levels, checks, leastC }: Shown): { yMin: number; yMax: number } {
  const values = [
    ...line.map(({ y }) => y),
    ...levels.map(({ y }) => y),
    ...checks.map(({ tempC }) => tempC),
  ];
  const known = values.filter((tempC) => tempC >= LEAST_FOOD_C && tempC <= MOST_FOOD_C);
  if (known.length === 0) return { yMin: 0, yMax: 100 };
  const high = Math.max(...known);
  const low = Math.min(...known, high - leastC);
  return { yMin: low - (high - low) * 0.12, yMax: high + (high - low) * 0.28 };
}

type Projection = Pick<ChartModel, 'curves' | 'coals' | 'coalsY'>;

function projection({ row, nowMs, isLost }: ChartInput, levels: readonly Level[], xMax: number): Projection {
  const [goal] = levels;
  const startC = row.tempC;
  if (row.quantilesMs === null || goal === undefined || startC === null || isLost) {
    return { curves: [], coals: [], coalsY: null };
  }
  const moments = row.quantilesMs
    .filter((atMs) => atMs !== null)
    .map((atMs) => ({
      x: Math.max(0, minutesBetween(nowMs, atMs)),
      isLate: row.gateMs !== null && atMs > row.gateMs,
    }));
  const curves = moments.map(({ x, isLate }) => ({
    isLate,
    points: curve({ x: 0, y: startC }, { x, y: goal.y }),
  }));
  return { curves, coals: moments.filter(({ x }) => x <= xMax), coalsY: goal.y };
}

function curve(from: XY, to: XY): XY[] {
  return Array.from({ length: CURVE_POINTS + 1 }, (_, index) => {
    const u = index / CURVE_POINTS;
    const share = (1 + CURVE_BEND) * u - CURVE_BEND * u * u;
    return { x: from.x + (to.x - from.x) * u, y: from.y + (to.y - from.y) * share };
  });
}

/** Whole, half and quarter hours on the clock of the cookout, about six on the axis. x in minutes from now. */
export function clockTicks(xMin: number, xMax: number, nowMs: number, most: number): number[] {
  const steps = [10, 15, 30, 60, 120, 240];
  const stepMin = steps.find((step) => (xMax - xMin) / step <= most) ?? 240;
  const firstMs = Math.ceil((nowMs + xMin * MINUTE_MS) / (stepMin * MINUTE_MS)) * stepMin * MINUTE_MS;
  const ticks: number[] = [];
  for (let x = minutesBetween(nowMs, firstMs); x <= xMax; x += stepMin) ticks.push(x);
  return ticks;
}
