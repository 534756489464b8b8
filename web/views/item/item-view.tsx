import type { JSX } from 'preact';
import { useMemo, useRef, useState } from 'preact/hooks';
import type { Alarm, Board, Row } from '../../../server/contract/board.ts';
import { acknowledge, undoOffer } from '../../actions.ts';
import { clockText } from '../../format/clock.ts';
import { Glyph } from '../../glyph.tsx';
import { PageHead } from '../../page-head.tsx';
import { route } from '../../router.ts';
import { axisNowMs, rowContext, shownBoard } from '../../shown.ts';
import { linkLostMs, nowMs } from '../../state.ts';
import { UndoBar } from '../../undo-bar.tsx';
import { useEscapeToLive } from '../../use-escape.ts';
import { usePress } from '../../use-press.ts';
import { viewport } from '../../viewport.ts';
import { WORDS } from '../../words.ts';
import { rowSentence } from '../live/row-sentence.ts';
import { isHold, isStale, rowView } from '../live/row-view.ts';
import { ActionPad } from './action-pad.tsx';
import { chartModel } from './chart-model.ts';
import { useBatchHistory, useReadings } from './detail.ts';
import type { Fetched } from './detail.ts';
import { factsOf, leadText } from './facts.ts';
import { historyOf, joined, slopeOf, withNewest } from './history.ts';
import type { History, Point, Span } from './history.ts';
import { ItemChart } from './item-chart.tsx';
import { useWholeRows } from './whole-rows.ts';
import { ReadingsTable } from './readings-table.tsx';
import '../../styles/item.css';
import '../../styles/holds.css';
import '../../styles/item-upright.css';

const PHONE_TO_PX = 600;

/** One row in full: its curve, its forecast, its facts, and what the cook can say about it. */
export function ItemView(): JSX.Element {
  useEscapeToLive();
  const board = shownBoard.value;
  const rowId = route.value.name === 'item' ? route.value.rowId : '';
  const row = board?.rows.find(({ id }) => id === rowId);
  if (board === null || row === undefined) return <Missing isWaiting={board === null} />;
  return <Item key={row.id} board={board} row={row} />;
}

function Missing({ isWaiting }: { isWaiting: boolean }): JSX.Element {
  return (
    <main class="item-page">
      <PageHead title={isWaiting ? WORDS.waiting : 'No longer on the board'} />
      <p class="item-note">{isWaiting ? '' : 'It was served, thrown away or taken out of the plan.'}</p>
    </main>
  );
}

function Item({ board, row }: { board: Board; row: Row }): JSX.Element {
  const [span, setSpan] = useState<Span>('around');
  const [isTableOpen, setTableOpen] = useState(false);
  const fetched = useReadings(row, span);
  const points = fetched.kind === 'ready' ? fetched.value : [];
  const now = axisNowMs.value;
  const live = useRef<readonly Point[]>([]);
  live.current = withNewest(live.current, row.lastReadingMs, row.tempC);
  const history = useMemo(() => historyOf(joined(points, live.current), now), [fetched, live.current, now]);
  const alarms = board.alarms.filter(
    ({ rowId, state }) => rowId === row.id && (state === 'unacknowledged' || state === 'returned'),
  );
  const note = [row.placeName, probeText(row.sensorId)].filter((part) => part !== null).join(', ');
  return (
    <main class="item-page">
      <PageHead title={row.full} note={note} />
      {linkLostMs.value === null ? null : <LinkNote board={board} lostMs={linkLostMs.value} />}
      {alarms.map((alarm) => (
        <AlarmLine key={alarm.id} alarm={alarm} />
      ))}
      <div class="item">
        <Plot board={board} row={row} history={history} span={span} fetched={fetched}>
          <div class="spans" role="group" aria-label="Time shown">
            <SpanButton span="around" shown={span} text="Around now" onChoose={setSpan} />
            <SpanButton span="day" shown={span} text="All day" onChoose={setSpan} />
            <button type="button" class="table" onClick={() => setTableOpen(true)}>
              {WORDS.beyondTable}
            </button>
          </div>
        </Plot>
        <Side board={board} row={row} history={history} />
      </div>
      {isTableOpen ? (
        <ReadingsTable
          name={row.full}
          history={history}
          timeZone={zoneOf(board)}
          onClose={() => setTableOpen(false)}
        />
      ) : null}
      <UndoBar />
    </main>
  );
}

function probeText(sensorId: string | null): string {
  if (sensorId === null) return 'no probe';
  return /^probe/i.test(sensorId) ? sensorId : `probe ${sensorId}`;
}

function zoneOf({ cookout }: Board): string {
  return cookout?.timeZone ?? 'UTC';
}

function LinkNote({ board, lostMs }: { board: Board; lostMs: number }): JSX.Element {
  return (
    <p class="item-alarm lost" role="alert">
      <Glyph name="lost" />
      No link since {clockText(lostMs, zoneOf(board))}. Nothing below is live.
    </p>
  );
}

function AlarmLine({ alarm }: { alarm: Alarm }): JSX.Element {
  const { isBusy, press } = usePress(() => acknowledge(alarm.id));
  const isUnsafe = alarm.class === 'unsafe';
  return (
    <section class={isUnsafe ? 'item-alarm unsafe' : 'item-alarm lost'} role="alert">
      <Glyph name={isUnsafe ? 'unsafe' : 'lost'} />
      <p>
        <b>{alarm.title}</b> {alarm.state === 'returned' ? 'Back in its limit, not seen yet.' : alarm.detail}
      </p>
      <button type="button" class={isBusy ? 'busy' : ''} onClick={press}>
        {WORDS.seeIt}
      </button>
    </section>
  );
}

type PlotProps = {
  board: Board;
  row: Row;
  history: History;
  span: Span;
  fetched: Fetched<unknown>;
  children: JSX.Element;
};

function Plot({ board, row, history, span, fetched, children }: PlotProps): JSX.Element {
  const batchId = row.subject.kind === 'batch' ? row.subject.id : null;
  const revision = `${row.status ?? ''} ${undoOffer.value?.stepId ?? ''}`;
  const { steps, checks } = useBatchHistory(board.cookout?.id ?? null, batchId, revision);
  const context = rowContext(row.id);
  const view = rowView(row, context);
  const isLost = view.frame === 'lost' || isStale(row, context.nowMs);
  const model = useMemo(
    () => chartModel({ row, history, steps, checks, nowMs: context.nowMs, span, isLost }),
    [row, history, steps, checks, context.nowMs, span, isLost],
  );
  const isPhone = viewport.value.widthPx <= PHONE_TO_PX;
  return (
    <section class="plot" aria-label="Temperature, limits and forecast">
      <div class="plot-head">
        <p>{isHold(row) ? 'Temperature' : 'Core temperature'}, °C</p>
        {model.coals.length === 0 ? null : (
          <p class={isHold(row) ? 'plot-key block' : 'plot-key'}>1 chance in 10</p>
        )}
      </div>
      {row.sensorId === null ? <p class="item-note">No probe: timed by the clock.</p> : null}
      {fetched.kind === 'failed' ? <p class="item-note">{fetched.title}</p> : null}
      {row.sensorId === null && checks.length === 0 ? null : (
        <ItemChart
          model={model}
          nowMs={context.nowMs}
          timeZone={context.timeZone}
          isPhone={isPhone}
          sentence={rowSentence(row, view)}
        />
      )}
      {children}
    </section>
  );
}

function Side({ board, row, history }: { board: Board; row: Row; history: History }): JSX.Element {
  const context = rowContext(row.id);
  const view = rowView(row, context);
  const list = useRef<HTMLDListElement>(null);
  useWholeRows(list);
  const facts = factsOf({
    row,
    nowMs: nowMs.value,
    timeZone: zoneOf(board),
    slopeCPerMin: slopeOf(history),
    isLost: view.frame === 'lost',
  });
  return (
    <aside class={`side ${view.frame}`}>
      <p class="big">
        {view.before === '' ? null : <small>{view.before}</small>}
        {view.glyph === null ? <span>{view.number}</span> : <Glyph name={view.glyph} />}
        <small>{view.unit}</small>
      </p>
      <p class="lead">{view.say === '' || view.isSayStrong ? leadText(row, zoneOf(board)) : view.say}</p>
      <dl tabIndex={0} ref={list}>
        {facts.map(({ label, text, note }) => (
          <div key={label}>
            <dt>{label}</dt>
            {text === '' ? null : <dd>{text}</dd>}
            {note === '' ? null : <dd class="source">{note}</dd>}
          </div>
        ))}
      </dl>
      <ActionPad row={row} zones={board.zones} />
    </aside>
  );
}

type SpanButtonProps = { span: Span; shown: Span; text: string; onChoose: (span: Span) => void };

function SpanButton({ span, shown, text, onChoose }: SpanButtonProps): JSX.Element {
  return (
    <button type="button" aria-pressed={span === shown} onClick={() => onChoose(span)}>
      {text}
    </button>
  );
}
