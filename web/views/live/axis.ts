import type { Board } from '../../../server/contract/board.ts';
import { clockText } from '../../format/clock.ts';
import { minutesBetween } from '../../format/duration.ts';

/** Minutes at which the axis turns from nearly linear to nearly logarithmic; our own design. */
const BEND_MIN = 6;
export const HORIZON_MIN = 90;
export const TICKS_MIN = [2, 5, 10, 20, 40, 60, 90] as const;

/**
 * Place on the shared time axis, px from the post: x = W ln(1 + t/6) / ln(1 + 90/6).
 * @param tMin minutes from now; clamped to 0..90
 * @param widthPx width of the lane, px
 */
export function axisX(tMin: number, widthPx: number): number {
  const clamped = Math.max(0, Math.min(tMin, HORIZON_MIN));
  return (widthPx * Math.log(1 + clamped / BEND_MIN)) / Math.log(1 + HORIZON_MIN / BEND_MIN);
}

/** `poleX` is the moment itself; `x` is where the flag is fixed, which the clock may have pushed aside. */
export type Flag = { id: string; text: string; x: number; poleX: number; isLeft: boolean };
export type AxisMarks = { ticks: { x: number; text: string }[]; flags: Flag[]; poles: number[] };
export type AxisShape = { widthPx: number; isPhone: boolean };

type Serve = { id: string; atMs: number };
type Cookout = NonNullable<Board['cookout']>;

/** Serving flags and the ticks that they leave room for. A flag flies right of its pole, or left where there is no room. */
export function axisMarks(
  cookout: Pick<Cookout, 'serves' | 'timeZone'>,
  nowMs: number,
  shape: AxisShape,
): AxisMarks {
  const ahead = cookout.serves.filter((serve) => isAhead(serve, nowMs)).sort((a, b) => a.atMs - b.atMs);
  const flags = apart(
    ahead.map((serve) => flagOf(serve, nowMs, shape, cookout.timeZone)),
    shape.isPhone,
  );
  return { ticks: ticksBeside(flags, shape), flags, poles: flags.map((flag) => flag.poleX) };
}

function isAhead(serve: Serve, nowMs: number): boolean {
  const tMin = minutesBetween(nowMs, serve.atMs);
  return tMin >= 0 && tMin <= HORIZON_MIN;
}

function flagWidthPx(isPhone: boolean): number {
  return isPhone ? 54 : 116;
}

function flagOf(serve: Serve, nowMs: number, { widthPx, isPhone }: AxisShape, timeZone: string): Flag {
  const poleX = axisX(minutesBetween(nowMs, serve.atMs), widthPx);
  // in its last minutes the flag waits beside the clock rather than cover it
  const x = Math.max(poleX, clockWidthPx(isPhone) + CLOCK_GAP_PX);
  const isLeft = x + flagWidthPx(isPhone) > widthPx + (isPhone ? 8 : 14);
  return { id: serve.id, text: clockText(serve.atMs, timeZone), x, poleX, isLeft };
}

/** A flag that the next one would cover flies left of its pole. */
function apart(flags: readonly Flag[], isPhone: boolean): Flag[] {
  const width = flagWidthPx(isPhone);
  return flags.map((flag, index) => {
    const next = flags[index + 1];
    if (next === undefined || flag.isLeft) return flag;
    const nextFrom = next.isLeft ? next.x - width : next.x;
    const hasRoom = flag.x - width > clockWidthPx(isPhone);
    return flag.x + width > nextFrom && hasRoom ? { ...flag, isLeft: true } : flag;
  });
}

const CLOCK_GAP_PX = 4;

/** The clock on the post, which ticks and flags must leave free. */
function clockWidthPx(isPhone: boolean): number {
  return isPhone ? 76 : 110;
}

function ticksBeside(flags: readonly Flag[], { widthPx, isPhone }: AxisShape): AxisMarks['ticks'] {
  const flagPx = flagWidthPx(isPhone);
  const half = (isPhone ? 22 : 38) / 2 + 4;
  const clockPx = clockWidthPx(isPhone) + 2 * half;
  const isFree = (x: number): boolean =>
    x >= clockPx - half &&
    flags.every(
      ({ x: pole, isLeft }) =>
        x + half <= (isLeft ? pole - flagPx : pole) || x - half >= (isLeft ? pole : pole + flagPx),
    );
  return TICKS_MIN.filter((t) => t !== HORIZON_MIN)
    .map((t) => ({ x: axisX(t, widthPx), t }))
    .filter(({ x }) => isFree(x))
    .map(({ x, t }, index) => ({ x, text: index === 0 ? `${t} min` : String(t) }));
}
