import type { RecordTrace } from '../../server/contract/api.ts';
import { MINUTE_MS } from '../format/duration.ts';

/** x in minutes since the start of the trace, y in degC; NaN breaks the line. */
export type ChartPoint = { x: number; y: number };
export type TraceSeries = {
  line: readonly ChartPoint[];
  /** The parts of the line that are outside the limit, to be drawn heavy. */
  outside: readonly ChartPoint[];
  /** Spans without readings, minutes. */
  gaps: readonly (readonly [number, number])[];
  minX: number;
  maxX: number;
  minY: number;
  maxY: number;
  /** Between two levels of the temperature axis, degC. */
  stepY: number;
};

/** More would not be seen on a chart of this size, and costs drawing time. */
export const SERIES_POINTS_MAX = 400;

type Bucket = RecordTrace['points'][number];
type Span = readonly [number, number];

/** Runs of buckets with no gap inside a run. */
function segments(points: readonly Bucket[], gaps: readonly Span[]): Bucket[][] {
  const runs: Bucket[][] = [];
  let run: Bucket[] = [];
  let beforeMs = Number.NEGATIVE_INFINITY;
  for (const bucket of points) {
    const [atMs] = bucket;
    const isBroken = gaps.some(([fromMs, toMs]) => fromMs < atMs && toMs > beforeMs);
    if (isBroken && run.length > 0) {
      runs.push(run);
      run = [];
    }
    run.push(bucket);
    beforeMs = atMs;
  }
  if (run.length > 0) runs.push(run);
  return runs;
}

/** Joins neighbours; the lowest and the highest are kept, so a peak is never thinned away. */
function joined(buckets: readonly Bucket[]): Bucket {
  const last = buckets.at(-1);
  if (last === undefined) throw new RangeError('buckets must not be empty');
  return [
    last[0],
    Math.min(...buckets.map(([, minC]) => minC)),
    Math.max(...buckets.map(([, , maxC]) => maxC)),
    last[3],
  ];
}

function thinned(run: readonly Bucket[], each: number): Bucket[] {
  const out: Bucket[] = [];
  for (let at = 0; at < run.length; at += each) out.push(joined(run.slice(at, at + each)));
  return out;
}

type Drawing = { limit: RecordTrace['limit']; flatC: number };

/**
 * A bucket is drawn as its lowest and its highest value, ending on the side of its last one; as a single value when
 * nobody could see the two apart, and then as the one that is nearer to breaking the limit.
 */
function values([, minC, maxC, lastC]: Bucket, { limit, flatC }: Drawing): number[] {
  if (maxC - minC > flatC) return lastC - minC < maxC - lastC ? [maxC, minC] : [minC, maxC];
  if (limit?.kind === 'max') return [maxC];
  if (limit?.kind === 'min') return [minC];
  return [lastC];
}

/** How far a value is beyond the limit, degC; 0 or less is within it. */
function beyondC(limit: RecordTrace['limit'], tempC: number): number {
  if (limit === null) return 0;
  switch (limit.kind) {
    case 'max':
      return tempC - limit.valueC;
    case 'min':
      return limit.valueC - tempC;
    case 'core':
      return 0;
  }
}

/** The parts of a line beyond the limit, cut where the line crosses it, so that one high point is still seen. */
function outsideOf(line: readonly ChartPoint[], limit: RecordTrace['limit']): ChartPoint[] {
  const out: ChartPoint[] = [];
  line.forEach((to, index) => {
    const from = line[index - 1];
    const toC = beyondC(limit, to.y);
    if (from === undefined || Number.isNaN(from.y)) {
      if (toC > 0) out.push(to);
      return;
    }
    const fromC = beyondC(limit, from.y);
    const share = fromC / (fromC - toC);
    const crossing = { x: from.x + (to.x - from.x) * share, y: limit?.valueC ?? Number.NaN };
    if (!(fromC > 0) && toC > 0) out.push(crossing, to);
    else if (fromC > 0 && toC > 0) out.push(to);
    else if (fromC > 0)
      out.push(Number.isNaN(toC) ? { x: from.x, y: Number.NaN } : crossing, { x: to.x, y: Number.NaN });
  });
  return out;
}

// Steps of a temperature axis that a person reads without counting, degC.
const LEVEL_STEPS_C = [1, 2, 5, 10, 20, 50, 100];
const LEVELS_MOST = 6;

type Range = { minY: number; maxY: number; stepY: number };

/** From one round level to another, with room for the limit, the target and the words beside them. */
function range({ points, limit, targetC }: RecordTrace): Range {
  const levels = [limit?.valueC, targetC, ...points.flatMap(([, minC, maxC]) => [minC, maxC])];
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const tempC of levels) {
    if (typeof tempC !== 'number' || !Number.isFinite(tempC)) continue;
    low = Math.min(low, tempC);
    high = Math.max(high, tempC);
  }
  if (!(low <= high)) return { minY: 0, maxY: 10, stepY: 5 };
  const room = Math.max(0.5, (high - low) * 0.08);
  const stepY = LEVEL_STEPS_C.find((step) => (high - low + 2 * room) / step <= LEVELS_MOST) ?? 200;
  // Food and fire are not drawn with room below freezing unless they were there.
  const floorC = low >= 0 ? Math.max(0, low - room) : low - room;
  return {
    minY: Math.floor(floorC / stepY) * stepY,
    maxY: Math.ceil((high + room) / stepY) * stepY,
    stepY,
  };
}

type LineSetup = Drawing & { runs: readonly (readonly Bucket[])[]; minutes: (atMs: number) => number };

function lineOf({ runs, minutes, ...drawing }: LineSetup, each: number): ChartPoint[] {
  const line: ChartPoint[] = [];
  for (const run of runs) {
    if (line.length > 0) line.push({ x: line.at(-1)?.x ?? 0, y: Number.NaN });
    for (const bucket of thinned(run, each))
      for (const y of values(bucket, drawing)) line.push({ x: minutes(bucket[0]), y });
  }
  return line;
}

// Two hundredths of the height of a chart are hardly more than the width of its line.
const FLAT_SHARE = 0.02;

/** What Chart.js is given for one trace: thinned, broken at every gap, with the time outside picked out. */
export function traceSeries(trace: RecordTrace): TraceSeries {
  const { limit } = trace;
  const span = range(trace);
  const runs = segments(trace.points, trace.gaps);
  const longest = Math.max(1, ...runs.map((run) => run.length));
  const minutes = (atMs: number): number => (atMs - trace.fromMs) / MINUTE_MS;
  const setup: LineSetup = { runs, minutes, limit, flatC: (span.maxY - span.minY) * FLAT_SHARE };
  let each = 1;
  let line = lineOf(setup, each);
  let outside = outsideOf(line, limit);
  while (Math.max(line.length, outside.length) > SERIES_POINTS_MAX && each < longest) {
    each += 1;
    line = lineOf(setup, each);
    outside = outsideOf(line, limit);
  }
  return {
    line,
    outside,
    gaps: trace.gaps.map(([fromMs, toMs]) => [minutes(fromMs), minutes(toMs)] as const),
    minX: 0,
    maxX: Math.max(1, minutes(trace.toMs)),
    ...span,
  };
}

// Steps of a time axis that a person reads as clock times.
const TICK_STEPS_MIN = [1, 2, 5, 10, 15, 30, 60, 120, 180, 360, 720, 1440];

/** Round clock times inside the span, minutes since its start, at most `most` of them. */
export function clockTicks(span: { fromMs: number; toMs: number; offsetMs: number }, most: number): number[] {
  const { fromMs, toMs, offsetMs } = span;
  const spanMin = (toMs - fromMs) / MINUTE_MS;
  const stepMin = TICK_STEPS_MIN.find((step) => spanMin / step <= most) ?? Math.ceil(spanMin / most);
  const localMin = (fromMs + offsetMs) / MINUTE_MS;
  const ticks: number[] = [];
  for (let at = Math.ceil(localMin / stepMin) * stepMin - localMin; at <= spanMin; at += stepMin)
    ticks.push(at);
  return ticks;
}
