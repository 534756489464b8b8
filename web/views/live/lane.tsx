import type { JSX } from 'preact';
import { useRef } from 'preact/hooks';
import type { Row } from '../../../server/contract/board.ts';
import { Glyph } from '../../glyph.tsx';
import { TICKS_MIN, axisX } from './axis.ts';
import {
  MARK_PAD_PX,
  baseY,
  blockPx,
  coalPx,
  forecastLayout,
  knownMarks,
  markPx,
  smallMarkPx,
} from './coals.ts';
import type { Forecast, KnownPlace, LaneShape } from './coals.ts';
import { isHold } from './row-view.ts';
import { textEm } from './text-width.ts';
import { sayPlace } from './say-place.ts';
import type { SayMark } from './say-place.ts';
import type { RowContext, RowView } from './row-view.ts';

const STUB_PX = 26;
/** Lanes of the phone and of holding rows in between are low: smaller letters and corners. */
const LOW_LANE_PX = 40;

type LaneProps = { row: Row; view: RowView; context: RowContext; shape: LaneShape; poles: readonly number[] };

/** A row's stretch of the shared time axis. Hidden from screen readers: the row's sentence tells the same. */
export function Lane({ row, view, context, shape, poles }: LaneProps): JSX.Element {
  const { widthPx, heightPx } = shape;
  const before = useRef<Forecast | null>(null);
  const moments = view.lane === 'ghost' ? { ...row, quantilesMs: context.memory?.quantilesMs ?? null } : row;
  const isDrawn = view.lane === 'forecast' || view.lane === 'ghost';
  const forecast = isDrawn ? forecastLayout(moments, context.nowMs, shape, before.current) : null;
  before.current = forecast;
  const marks =
    view.frame === 'lost' ? [] : knownMarks(row.known, context.nowMs, shape, forecast?.coals ?? []);
  const base = baseY(heightPx) + 1.5;
  return (
    <svg
      class="lane"
      width={widthPx}
      height={heightPx}
      viewBox={`0 0 ${widthPx} ${heightPx}`}
      aria-hidden="true"
    >
      <Grid shape={shape} poles={poles} />
      {forecast === null || !isHold(row) ? null : <Blocks forecast={forecast} shape={shape} view={view} />}
      {view.lane === 'stub' ? (
        <rect
          class="stub"
          x={0}
          y={base - blockPx(heightPx) - 5}
          width={STUB_PX}
          height={blockPx(heightPx) + 4}
        />
      ) : null}
      <line
        class={view.isGroundDashed ? 'ground dashed' : 'ground'}
        x1={0}
        x2={widthPx}
        y1={base}
        y2={base}
      />
      {forecast === null || isHold(row) ? null : (
        <Coals row={row} forecast={forecast} shape={shape} isGhost={view.lane === 'ghost'} />
      )}
      {marks.map((mark, index) => (
        <KnownMark key={index} mark={mark} shape={shape} isFirst={index === 0 && row.isNext} />
      ))}
      <Say view={view} forecast={forecast} marks={marks} shape={shape} />
    </svg>
  );
}

function Grid({
  shape: { widthPx, heightPx },
  poles,
}: {
  shape: LaneShape;
  poles: readonly number[];
}): JSX.Element {
  return (
    <>
      {TICKS_MIN.map((t) => {
        const x = axisX(t, widthPx);
        return <line key={t} class="tick" x1={x} x2={x} y1={0} y2={heightPx} />;
      })}
      {poles.map((x) => (
        <line key={x} class="pole" x1={x} x2={x} y1={-6} y2={heightPx + 6} />
      ))}
    </>
  );
}

type CoalsProps = { row: Row; forecast: Forecast; shape: LaneShape; isGhost: boolean };

function Coals({ row, forecast, shape, isGhost }: CoalsProps): JSX.Element {
  const size = coalPx(shape.heightPx);
  const base = baseY(shape.heightPx);
  return (
    <g class={isGhost ? 'ghost' : undefined}>
      {isGhost ? null : <RestSlot row={row} forecast={forecast} shape={shape} />}
      {forecast.coals.map(({ x, level, isLate }, index) => (
        <circle
          key={index}
          class={isLate ? 'coal late' : 'coal'}
          cx={x}
          cy={base - size / 2 - 0.5 - level * (size + 1.5)}
          r={size / 2 - (isLate ? 1.5 : 0)}
        />
      ))}
      {forecast.isBeyond ? <Chevron shape={shape} isOpen={true} /> : null}
    </g>
  );
}

const LEAST_REST_MIN = 4;
const REST_LABEL_PX = 96;

function RestSlot({
  row,
  forecast,
  shape: { widthPx, heightPx },
}: Omit<CoalsProps, 'isGhost'>): JSX.Element | null {
  const { gateX, serveX } = forecast;
  if (gateX === null) return null;
  const base = baseY(heightPx);
  const top = base - coalPx(heightPx) * 1.6;
  const isRest = row.restMin >= LEAST_REST_MIN;
  const isAnyLate = forecast.coals.some((coal) => coal.isLate);
  const endX = serveX ?? widthPx;
  return (
    <>
      {isRest ? (
        <rect
          x={gateX}
          y={top}
          width={Math.max(0, endX - gateX)}
          height={base - top}
          fill="url(#rest-hatch)"
        />
      ) : null}
      {isRest && endX - gateX > REST_LABEL_PX ? (
        <text class="say small" x={endX - 8} y={top - 6} text-anchor="end">
          rest {row.restMin}
        </text>
      ) : null}
      {isRest || isAnyLate ? (
        <line class="gate" x1={gateX} x2={gateX} y1={isAnyLate ? 2 : top} y2={base + 3} />
      ) : null}
    </>
  );
}

function Blocks({
  forecast,
  shape,
  view,
}: {
  forecast: Forecast;
  shape: LaneShape;
  view: RowView;
}): JSX.Element {
  const { widthPx, heightPx } = shape;
  const size = blockPx(heightPx);
  const base = baseY(heightPx);
  const isWatch = view.frame === 'watch';
  const isGhost = view.lane === 'ghost';
  const bar = isWatch ? size : Math.max(4, Math.min(8, Math.round(heightPx * 0.15)));
  const end = forecast.firstX === null ? widthPx - 17 : forecast.firstX - 4;
  return (
    <g class={isGhost ? 'ghost' : isWatch ? 'watch' : undefined}>
      {isGhost ? null : <rect class="bar" x={0} y={base - bar} width={Math.max(0, end)} height={bar} />}
      {forecast.isBeyond && !isGhost ? <Chevron shape={shape} isOpen={forecast.firstX !== null} /> : null}
      {forecast.coals.map(({ x, level }, index) => (
        <rect
          key={index}
          class="block"
          x={x - size / 2}
          y={base - size - level * (size + 2.5)}
          width={size}
          height={size}
        />
      ))}
    </g>
  );
}

/** Some moments lie beyond the axis. */
function Chevron({
  shape: { widthPx, heightPx },
  isOpen,
}: {
  shape: LaneShape;
  isOpen: boolean;
}): JSX.Element {
  const h = Math.max(4, Math.min(8, Math.round(heightPx * 0.15)));
  const path = `M${widthPx - 18} ${baseY(heightPx) - h * 1.9}l${h * 2} ${h * 1.4}-${h * 2} ${h * 1.4}z`;
  return <path class={isOpen ? 'beyond open' : 'beyond'} d={path} />;
}

function KnownMark({
  mark,
  shape,
  isFirst,
}: {
  mark: KnownPlace;
  shape: LaneShape;
  isFirst: boolean;
}): JSX.Element {
  const { verb, x, isSmall } = mark;
  const size = isSmall ? smallMarkPx(shape) : markPx(shape);
  const half = size / 2 + MARK_PAD_PX;
  const base = baseY(shape.heightPx);
  const y = isSmall ? half + 2 : base - size / 2 - 3;
  return (
    <g class={isFirst ? 'known next' : 'known'}>
      {isSmall ? <line class="stem" x1={x} x2={x} y1={y} y2={base} /> : null}
      <g transform={`translate(${x} ${y})`}>
        <rect
          x={-half}
          y={-half}
          width={2 * half}
          height={2 * half}
          rx={shape.heightPx < LOW_LANE_PX || isSmall ? 5 : 8}
        />
        <svg x={-size / 2} y={-size / 2} width={size} height={size}>
          <Glyph name={verb} />
        </svg>
      </g>
    </g>
  );
}

type SayProps = { view: RowView; forecast: Forecast | null; marks: readonly KnownPlace[]; shape: LaneShape };

const SAY_PX = { wide: 25, low: 16 } as const;

/** The gate stands tall where a coal comes too late; low words are kept off it by the coals on either side. */
function gateMarks(forecast: Forecast | null): SayMark[] {
  if (forecast?.gateX == null || !forecast.coals.some(({ isLate }) => isLate)) return [];
  return [{ x: forecast.gateX, half: 2, isHigh: true }];
}

function Say({ view, forecast, marks, shape }: SayProps): JSX.Element | null {
  if (view.say === '') return null;
  const isLow = shape.heightPx < LOW_LANE_PX;
  const coalHalf = coalPx(shape.heightPx) / 2;
  const place = sayPlace({
    textPx: textEm(view.say, view.isSayStrong ? 600 : 500) * (isLow ? SAY_PX.low : SAY_PX.wide),
    lanePx: shape.widthPx,
    insetPx: view.lane === 'stub' ? STUB_PX + 14 : 16,
    marks: [
      ...(forecast?.coals ?? []).map(({ x, level }) => ({ x, half: coalHalf, isHigh: level > 0 })),
      ...marks.map(({ x }) => ({ x, half: markPx(shape) / 2 + MARK_PAD_PX, isHigh: true })),
      ...gateMarks(forecast),
    ],
    heapX: forecast?.firstX ?? null,
  });
  if (place === null) return null;
  const y = place.isHigh ? (isLow ? 13 : 22) : baseY(shape.heightPx) - (isLow ? 4 : 11);
  return (
    <text class={view.isSayStrong ? 'say strong' : 'say'} x={place.x} y={y} text-anchor={place.anchor}>
      {view.say}
    </text>
  );
}
