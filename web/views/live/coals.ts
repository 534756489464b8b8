import type { Row } from '../../../server/contract/board.ts';
import { minutesBetween } from '../../format/duration.ts';
import { HORIZON_MIN, axisX } from './axis.ts';
import { heapOf } from './heap.ts';
import type { Placed } from './heap.ts';

export type LaneShape = { widthPx: number; heightPx: number };
export type Coal = Placed & { isLate: boolean };
/** Geometry of a row's forecast, px. `raw` = where its moments lay when it was laid out. */
export type Forecast = {
  coals: Coal[];
  /** Left end of the first mark, or null when all lie beyond the axis. */
  firstX: number | null;
  isBeyond: boolean;
  gateX: number | null;
  serveX: number | null;
  raw: number[];
};
type Moments = Pick<Row, 'kind' | 'quantilesMs' | 'gateMs' | 'serveAtMs'>;

const GAP_PX = 2.5;
const RELAY_PX = 3;
const GATE_PX = 3;
const BEYOND_PX = 22;

export function baseY(heightPx: number): number {
  return heightPx - Math.max(6, Math.round(heightPx * 0.13));
}

export function coalPx(heightPx: number): number {
  return Math.min(17, Math.floor((baseY(heightPx) - 4) / 3) - 1.5);
}

export function blockPx(heightPx: number): number {
  return Math.max(7, Math.min(14, Math.floor((baseY(heightPx) - 4) / 3) - 2));
}

/** Lays a row's ten moments on the axis. The layout before is kept until one of them moved by more than 3 px. */
export function forecastLayout(
  row: Moments,
  nowMs: number,
  shape: LaneShape,
  before: Forecast | null,
): Forecast | null {
  if (row.quantilesMs === null) return null;
  const minutes = row.quantilesMs.filter((atMs) => atMs !== null).map((atMs) => minutesBetween(nowMs, atMs));
  const inside = minutes.filter((t) => t <= HORIZON_MIN);
  const gateMin = row.gateMs === null ? null : minutesBetween(nowMs, row.gateMs);
  const serveMin = row.serveAtMs === null ? null : minutesBetween(nowMs, row.serveAtMs);
  const raw = [...inside, gateMin ?? -1, serveMin ?? -1, shape.heightPx].map((t) => axisX(t, shape.widthPx));
  if (before !== null && hasStayed(before.raw, raw)) return before;
  const isHold = row.kind === 'cold' || row.kind === 'hot';
  const isBeyond = inside.length < row.quantilesMs.length;
  const edge = shape.widthPx - (isBeyond ? BEYOND_PX : 0);
  const coals = isHold ? blocks(inside, shape, edge) : heaps(inside, gateMin, shape, edge);
  const half = (isHold ? blockPx(shape.heightPx) : coalPx(shape.heightPx)) / 2;
  return {
    coals,
    firstX: coals.length === 0 ? null : Math.min(...coals.map((coal) => coal.x)) - half,
    isBeyond,
    gateX: gateMin === null || gateMin > HORIZON_MIN ? null : axisX(gateMin, shape.widthPx),
    serveX: serveMin === null || serveMin > HORIZON_MIN ? null : axisX(serveMin, shape.widthPx),
    raw,
  };
}

function hasStayed(before: readonly number[], now: readonly number[]): boolean {
  return (
    before.length === now.length && now.every((x, index) => Math.abs(x - (before[index] ?? NaN)) <= RELAY_PX)
  );
}

function heaps(
  inside: readonly number[],
  gateMin: number | null,
  { widthPx, heightPx }: LaneShape,
  edge: number,
): Coal[] {
  const pitch = coalPx(heightPx) + GAP_PX;
  const xOf = (t: number): number => axisX(t, widthPx);
  const isLate = (t: number): boolean => gateMin !== null && t > gateMin;
  const early = inside.filter((t) => !isLate(t)).map(xOf);
  const late = inside.filter(isLate).map(xOf);
  const gateX = gateMin === null ? edge : Math.min(edge, xOf(gateMin));
  const earlyTo = late.length > 0 ? gateX - GATE_PX : edge;
  return [
    ...heapOf(early, { pitch, stackMax: 3, from: 6, to: earlyTo }).map((coal) => ({
      ...coal,
      isLate: false,
    })),
    ...heapOf(late, { pitch, stackMax: 3, from: gateX + GATE_PX, to: edge }).map((coal) => ({
      ...coal,
      isLate: true,
    })),
  ];
}

function blocks(inside: readonly number[], { widthPx, heightPx }: LaneShape, edge: number): Coal[] {
  const size = blockPx(heightPx);
  const stackMax = Math.min(3, Math.max(2, Math.floor((baseY(heightPx) - 2) / (size + GAP_PX))));
  const xs = inside.map((t) => axisX(t, widthPx));
  return heapOf(xs, { pitch: size + 3, stackMax, from: 8, to: edge }).map((block) => ({
    ...block,
    isLate: false,
  }));
}

export type KnownPlace = { verb: Row['known'][number]['verb']; x: number; isSmall: boolean };
const SMALL_PX = 26;
export const MARK_PAD_PX = 4;

export function markPx({ heightPx }: LaneShape): number {
  const isLow = heightPx < 40;
  return Math.min(isLow ? 20 : 36, heightPx - (isLow ? 14 : 15));
}

/** Known marks on the axis. One that would cover a heap, or the mark before it, rides a stem at the top of the lane. */
export function knownMarks(
  known: Row['known'],
  nowMs: number,
  shape: LaneShape,
  coals: readonly Coal[],
): KnownPlace[] {
  const half = markPx(shape) / 2 + MARK_PAD_PX;
  const reach = half + coalPx(shape.heightPx) / 2;
  const inset = half + (shape.heightPx < 40 ? 2 : 5);
  const placed: KnownPlace[] = [];
  for (const { verb, atMs } of known) {
    const tMin = minutesBetween(nowMs, atMs);
    if (!(tMin <= HORIZON_MIN)) continue;
    const x = Math.min(shape.widthPx - half, Math.max(inset, axisX(tMin, shape.widthPx)));
    const covers =
      coals.some((coal) => Math.abs(coal.x - x) < reach) ||
      placed.some((mark) => Math.abs(mark.x - x) < 2 * half);
    placed.push({ verb, x, isSmall: covers });
  }
  return placed;
}

export function smallMarkPx(shape: LaneShape): number {
  return Math.min(SMALL_PX, markPx(shape)) - 2 * MARK_PAD_PX;
}
