import type { JSX } from 'preact';
import { useCallback, useRef, useState } from 'preact/hooks';
import type { Board } from '../../../server/contract/board.ts';
import { axisNowMs, shownBoard } from '../../shown.ts';
import { linkLostMs, nowMs } from '../../state.ts';
import { UndoBar } from '../../undo-bar.tsx';
import { viewport } from '../../viewport.ts';
import { actionText, onTimeText } from '../../words.ts';
import { AxisHead } from './axis-head.tsx';
import { axisMarks } from './axis.ts';
import { FirstCard } from './first-card.tsx';
import { useLastEnded } from './last-ended.ts';
import { liveLayout, startsGroup } from './layout.ts';
import type { LiveLayout } from './layout.ts';
import { MoreSheet } from './more-sheet.tsx';
import { RowLine } from './row.tsx';
import { SpokenStatus } from './spoken-status.tsx';
import { StripOne } from './strip-one.tsx';
import { StripTwo } from './strip-two.tsx';
import type { Ended } from './strips.ts';
import { useBelowFold } from './below-fold.ts';
import '../../styles/live.css';
import '../../styles/live-strips.css';
import '../../styles/live-axis.css';
import '../../styles/live-rows.css';
import '../../styles/live-lane.css';
import '../../styles/live-upright.css';

/** The live screen: what needs the cook next, whether a limit is broken, and how long each thing has left. */
export function LiveView(): JSX.Element {
  const board = shownBoard.value;
  const layout = liveLayout(viewport.value, board?.rows ?? []);
  const [isMoreOpen, setMoreOpen] = useState(false);
  const openMore = useCallback(() => setMoreOpen(true), []);
  const closeMore = useCallback(() => setMoreOpen(false), []);
  const isDemo = board?.cookout?.isDemo === true;
  const lastEnded = useLastEnded(board !== null && board.cookout === null);
  return (
    <main class={layout.isPageScrolled ? 'live flowing' : 'live'} data-layout={layout.kind}>
      <Hatch />
      <Strips kind={layout.kind} isDemo={isDemo} lastEnded={lastEnded} onMore={openMore} />
      {board === null || board.cookout === null ? null : <Rows board={board} layout={layout} />}
      {board === null ? null : <SpokenStatus text={statusText(board)} />}
      <UndoBar />
      {isMoreOpen ? <MoreSheet cookoutId={board?.cookout?.id ?? null} onClose={closeMore} /> : null}
    </main>
  );
}

type StripsProps = {
  kind: LiveLayout['kind'];
  isDemo: boolean;
  lastEnded: Ended | null;
  onMore: () => void;
};

function Strips({ kind, isDemo, lastEnded, onMore }: StripsProps): JSX.Element {
  const context = {
    board: shownBoard.value,
    nowMs: nowMs.value,
    linkLostMs: linkLostMs.value,
    lastEnded,
  };
  return (
    <>
      <StripOne context={context} kind={kind} />
      <StripTwo context={context} kind={kind} isDemo={isDemo} onMore={onMore} />
    </>
  );
}

function Rows({ board, layout }: { board: Board; layout: LiveLayout }): JSX.Element | null {
  const now = axisNowMs.value;
  const list = useRef<HTMLElement>(null);
  const below = useBelowFold(list, board.rows.length);
  if (board.cookout === null) return null;
  const shape = { widthPx: layout.laneWidthPx, isPhone: layout.kind === 'phone' };
  const marks = axisMarks(board.cookout, now, shape);
  return (
    <>
      <AxisHead board={board} marks={marks} nowMs={now} isLinkLost={linkLostMs.value !== null} />
      <section class="rows" aria-label="Everything on the go" ref={list}>
        {board.rows.map((row, index) => (
          <RowLine
            key={row.id}
            row={row}
            layout={layout}
            poles={marks.poles}
            isGroupStart={startsGroup(board.rows, index)}
          />
        ))}
        {below === 0 ? null : (
          <p class="below" aria-hidden="true">
            {below} more below
          </p>
        )}
        <FirstCard />
      </section>
    </>
  );
}

function statusText({ next, rows }: Board): string {
  const then = next[1];
  const late = rows.filter(({ onTimeOf10 }) => onTimeOf10 !== null && onTimeOf10 < 9);
  const parts = [
    then === undefined ? '' : `Then ${actionText(then)}`,
    ...late.map(({ full, onTimeOf10 }) => `${full}, ${onTimeText(onTimeOf10 ?? 0)}`),
  ];
  return parts.filter((part) => part !== '').join('. ');
}

/** The hatching of every rest slot, defined once. */
function Hatch(): JSX.Element {
  return (
    <svg class="vh" aria-hidden="true">
      <defs>
        <pattern
          id="rest-hatch"
          width="8"
          height="8"
          patternUnits="userSpaceOnUse"
          patternTransform="rotate(45)"
        >
          <rect width="3" height="8" fill="var(--hatch)" />
        </pattern>
      </defs>
    </svg>
  );
}
