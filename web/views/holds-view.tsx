import type { JSX } from 'preact';
import type { Row } from '../../server/contract/board.ts';
import { PageHead } from '../page-head.tsx';
import { rowContext, shownBoard } from '../shown.ts';
import { STANDING_WORDS } from '../standing-words.ts';
import { UndoBar } from '../undo-bar.tsx';
import { useEscapeToLive } from '../use-escape.ts';
import { WORDS } from '../words.ts';
import { rowSentence } from './live/row-sentence.ts';
import { isHold, rowView } from './live/row-view.ts';
import type { RowView } from './live/row-view.ts';
import { itemHref } from './live/strips.ts';
import '../styles/item.css';
import '../styles/holds.css';
import '../styles/item-upright.css';

/** Every bag and pot that is watched, each with the way to its own page. */
export function HoldsView(): JSX.Element {
  useEscapeToLive();
  const board = shownBoard.value;
  const rows = (board?.rows ?? []).filter(isHold);
  return (
    <main class="item-page flowing">
      <PageHead title="Cold and hot" />
      {rows.length > 0 ? null : (
        <p class="item-note">{board === null ? WORDS.waiting : 'No bag or pot is watched.'}</p>
      )}
      <ul class="holds">
        {rows.map((row) => (
          <li key={row.id}>
            <Hold row={row} />
          </li>
        ))}
      </ul>
      <UndoBar />
    </main>
  );
}

function doubtText({ doubt }: RowView): string {
  if (doubt === null) return '';
  return doubt === 'suspect' ? 'suspect value' : `probe ${STANDING_WORDS[doubt]}`;
}

function Hold({ row }: { row: Row }): JSX.Element {
  const view = rowView(row, rowContext(row.id));
  return (
    <a href={itemHref(row.id)} class={`hold ${view.frame}`}>
      <span class="vh">{rowSentence(row, view)}</span>
      <b aria-hidden="true">{row.full}</b>
      <span aria-hidden="true" class={view.isTempStruck ? 'struck' : undefined}>
        {view.temp}
      </span>
      <span aria-hidden="true">{row.limit === null ? 'no limit' : `limit ${row.limit.text}`}</span>
      <span class="left" aria-hidden="true">
        {view.number} {view.unit}
      </span>
      <small aria-hidden="true">{[view.say, doubtText(view)].filter((part) => part !== '').join(', ')}</small>
    </a>
  );
}
