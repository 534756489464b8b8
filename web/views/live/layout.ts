import type { Row } from '../../../server/contract/board.ts';
import { isHold } from './row-view.ts';
import type { Frame } from './row-view.ts';

export type LayoutKind = 'wide' | 'upright' | 'phone';
export type LiveLayout = {
  kind: LayoutKind;
  laneWidthPx: number;
  /** Whole row in the wide layout, lane alone in the others. */
  grillPx: number;
  holdPx: number;
  /** A screen too low for fixed strips scrolls as a whole. */
  isPageScrolled: boolean;
};
type Size = { widthPx: number; heightPx: number };
type Heights = { grillPx: number; holdPx: number };

const WIDE_FROM_PX = 1000;
const PHONE_TO_PX = 600;
/** Strips and axis head of the wide layout, px. */
const WIDE_HEAD_PX = 128 + 60 + 42;
const WIDE: Heights = { grillPx: 66, holdPx: 60 };
/** Rows give way down to these before the list scrolls: 9 mm on the reference tablet, over the 44 px of a target. */
const WIDE_LEAST: Heights = { grillPx: 58, holdPx: 52 };
const POST_PX = { wide: 9, upright: 9, phone: 6 } as const;
const EDGE_PX = { wide: 16, upright: 16, phone: 10 } as const;
const CELL_PX = 556;
const LEAST_LANE_PX = 120;
/** Below these heights too little is left for rows under fixed strips. */
const SCROLL_BELOW_PX = { wide: 430, upright: 700, phone: 480 } as const;

export function liveLayout({ widthPx, heightPx }: Size, rows: readonly Row[]): LiveLayout {
  const kind = layoutKind({ widthPx, heightPx });
  const beside = kind === 'wide' ? CELL_PX : 0;
  return {
    kind,
    laneWidthPx: Math.max(LEAST_LANE_PX, widthPx - beside - POST_PX[kind] - EDGE_PX[kind]),
    isPageScrolled: heightPx < SCROLL_BELOW_PX[kind],
    ...rowHeights(kind, heightPx, rows),
  };
}

function layoutKind({ widthPx, heightPx }: Size): LayoutKind {
  if (widthPx >= WIDE_FROM_PX && widthPx > heightPx) return 'wide';
  return Math.min(widthPx, heightPx) > PHONE_TO_PX ? 'upright' : 'phone';
}

function rowHeights(kind: LayoutKind, heightPx: number, rows: readonly Row[]): Heights {
  switch (kind) {
    case 'upright':
      return { grillPx: 56, holdPx: 42 };
    case 'phone':
      return { grillPx: 37, holdPx: 29 };
    case 'wide':
      return wideHeights(heightPx - WIDE_HEAD_PX, rows);
  }
}

function wideHeights(roomPx: number, rows: readonly Row[]): Heights {
  const holds = rows.filter(isHold).length;
  const total = ({ grillPx, holdPx }: Heights): number => (rows.length - holds) * grillPx + holds * holdPx;
  if (total(WIDE) <= roomPx || total(WIDE_LEAST) > roomPx) return WIDE;
  const share = (roomPx - total(WIDE_LEAST)) / (total(WIDE) - total(WIDE_LEAST));
  const between = (least: number, most: number): number => Math.floor(least + share * (most - least));
  return {
    grillPx: between(WIDE_LEAST.grillPx, WIDE.grillPx),
    holdPx: between(WIDE_LEAST.holdPx, WIDE.holdPx),
  };
}

/** Mean width of a letter of the face at weight 600, in em; measured on the labels of the live screen. */
const LETTER_EM = 0.53;

/** The size at which a line fits its room, never above `mostPx`. */
export function fitPx(text: string, mostPx: number, roomPx: number): number {
  return Math.floor(Math.min(mostPx, roomPx / (LETTER_EM * Math.max(1, text.length))));
}

/** Widths in em, as they stand in the cell: name and tag beside each other, the temperature right of them. */
export type NameRoom = { nameEm: number; tempEm: number; tagEm: number | null; frame: Frame };
export type NameFit = { sizePx: number; isStacked: boolean };
type CellSizes = { namePx: number; leastPx: number; handPx: number; besidePx: number; gapPx: number };
/** Letters of the cell, and what number, unit and paddings take from its width, px. */
const CELL_SIZES: Record<LayoutKind, CellSizes> = {
  wide: { namePx: 40, leastPx: 24, handPx: 25, besidePx: 288, gapPx: 14 },
  upright: { namePx: 40, leastPx: 24, handPx: 25, besidePx: 308, gapPx: 14 },
  phone: { namePx: 22, leastPx: 14, handPx: 16, besidePx: 178, gapPx: 14 },
};
/** What a striped end or a frame all round takes from the name, px. */
const FRAME_PX: Partial<Record<Frame, number>> = { unsafe: 26, lost: 26, watch: 8, seen: 8, shelved: 8 };
const STACKED_PX = 30;

/** The size at which a name of a row stands whole beside its temperature; its tag goes below it where both do not fit. */
export function nameFit(
  { nameEm, tempEm, tagEm, frame }: NameRoom,
  kind: LayoutKind,
  widthPx: number,
): NameFit {
  const { namePx, leastPx, handPx, besidePx, gapPx } = CELL_SIZES[kind];
  const cellPx = kind === 'wide' ? CELL_PX : widthPx;
  const roomPx = cellPx - besidePx - tempEm * handPx - gapPx - (FRAME_PX[frame] ?? 0);
  const fitting = (mostPx: number, room: number): number =>
    Math.max(leastPx, Math.floor(Math.min(mostPx, room / nameEm)));
  if (tagEm === null) return { sizePx: fitting(namePx, roomPx), isStacked: false };
  const beside = fitting(namePx, roomPx - tagEm * handPx - gapPx);
  if (beside >= namePx || kind !== 'wide') return { sizePx: beside, isStacked: false };
  return { sizePx: fitting(STACKED_PX, roomPx), isStacked: true };
}

const TWO_LINES_PX = 60;

/** As `fitPx`, but a line that would become small breaks into two of at most 60 px. */
export function fitTwoLinesPx(text: string, mostPx: number, roomPx: number): number {
  const one = fitPx(text, mostPx, roomPx);
  return Math.max(one, Math.min(TWO_LINES_PX, mostPx, fitPx(text, mostPx, roomPx * 1.6)));
}

/** Rows of another group than the one before get a heavy rule. */
export function startsGroup(rows: readonly Row[], index: number): boolean {
  const before = rows[index - 1];
  const row = rows[index];
  if (before === undefined || row === undefined) return false;
  return groupOf(before) !== groupOf(row);
}

function groupOf({ kind }: Row): 'grill' | 'cold' | 'hot' {
  return kind === 'cold' || kind === 'hot' ? kind : 'grill';
}

export type Fold = { scrolledPx: number; shownPx: number; bottomsPx: readonly number[] };

const TOUCH_PX = 2;

/** How many rows are not wholly to be seen, because they end below the fold. Pure. */
export function belowFold({ scrolledPx, shownPx, bottomsPx }: Fold): number {
  return bottomsPx.filter((bottomPx) => bottomPx > scrolledPx + shownPx + TOUCH_PX).length;
}
