import type { JSX } from 'preact';
import type { Row } from '../../../server/contract/board.ts';
import { Glyph } from '../../glyph.tsx';
import { rowContext } from '../../shown.ts';
import { DOUBT_SHORT } from '../../standing-words.ts';
import { viewport } from '../../viewport.ts';
import { Lane } from './lane.tsx';
import { nameFit } from './layout.ts';
import type { LayoutKind, LiveLayout } from './layout.ts';
import { rowSentence } from './row-sentence.ts';
import { isHold, rowView } from './row-view.ts';
import type { RowView } from './row-view.ts';
import { itemHref } from './strips.ts';
import { textEm } from './text-width.ts';

type RowLineProps = { row: Row; layout: LiveLayout; poles: readonly number[]; isGroupStart: boolean };

/** One thing on the go: its cell and its lane, together one link. */
export function RowLine({ row, layout, poles, isGroupStart }: RowLineProps): JSX.Element {
  const context = rowContext(row.id);
  const view = rowView(row, context);
  const height = isHold(row) ? layout.holdPx : layout.grillPx;
  const isWide = layout.kind === 'wide';
  const rule = isWide ? (isGroupStart ? 4 : 1) : 0;
  const shape = { widthPx: layout.laneWidthPx, heightPx: height - rule };
  const classes = `row ${view.frame}${row.isNext ? ' next' : ''}${isGroupStart ? ' group' : ''}`;
  return (
    <a class={classes} href={itemHref(row.id)} data-state={row.state}>
      <span class="vh">{rowSentence(row, view)}</span>
      <Cell row={row} view={view} heightPx={isWide ? height : null} kind={layout.kind} />
      <span class="lane-box" style={{ height: `${height}px` }}>
        <Lane row={row} view={view} context={context} shape={shape} poles={poles} />
      </span>
    </a>
  );
}

const LONG_NUMBER = 6;
/** The size of the word against the temperature above it. */
const DOUBT_SIZE = { wide: 22 / 25, upright: 22 / 25, phone: 1 } as const satisfies Record<
  LayoutKind,
  number
>;

/** The word stands below the temperature. */
function tempEmOf({ temp, doubt }: RowView, kind: LayoutKind): number {
  const own = textEm(temp, 500);
  if (doubt === null) return own;
  return Math.max(own, textEm(DOUBT_SHORT[doubt], 600) * DOUBT_SIZE[kind]);
}

type CellProps = { row: Row; view: RowView; heightPx: number | null; kind: LayoutKind };

function Cell({ row, view, heightPx, kind }: CellProps): JSX.Element {
  const name = {
    nameEm: textEm(row.short, 600),
    tempEm: tempEmOf(view, kind),
    tagEm: row.tag === null ? null : textEm(row.tag, 500),
    frame: view.frame,
  };
  const fit = nameFit(name, kind, viewport.value.widthPx);
  const isLong = view.before.length + view.number.length >= LONG_NUMBER;
  return (
    <span class="cell" aria-hidden="true" style={heightPx === null ? {} : { height: `${heightPx}px` }}>
      <span class={fit.isStacked ? 'name stacked' : 'name'} style={{ fontSize: `${fit.sizePx}px` }}>
        {row.short}
        {row.tag === null ? null : <small>{row.tag}</small>}
      </span>
      <span class="read">
        <span class={view.isTempStruck ? 'temp struck' : 'temp'}>{view.temp}</span>
        {view.doubt === null ? null : <span class={`doubt ${view.doubt}`}>{DOUBT_SHORT[view.doubt]}</span>}
      </span>
      <span class={isLong ? 'number long' : 'number'}>
        {view.before === '' ? null : <small>{view.before}</small>}
        {view.glyph === null ? view.number : <Glyph name={view.glyph} />}
      </span>
      <span class="unit">{view.unit}</span>
    </span>
  );
}
