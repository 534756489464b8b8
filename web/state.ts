import { computed, signal } from '@preact/signals';
import type { Alarm, Board, Row } from '../server/contract/board.ts';
import type { ReadingsEvent } from '../server/contract/live-events.ts';

export type Feed = {
  board: Board | null;
  /** Monotonic ms of this browser at which the board came. */
  boardAtMonoMs: number;
  /** The first board comes over HTTP for a quick paint; from the first pushed board on only pushed ones count. */
  isPushed: boolean;
};
export type FeedEvent =
  | { kind: 'board'; board: Board; via: 'http' | 'push'; monoMs: number }
  | { kind: 'readings'; readings: ReadingsEvent }
  | { kind: 'alarm'; alarm: Alarm };

export const EMPTY_FEED: Feed = { board: null, boardAtMonoMs: 0, isPushed: false };

/** What the screen knows after an event. Pure. */
export function afterEvent(feed: Feed, event: FeedEvent): Feed {
  switch (event.kind) {
    case 'board':
      if (event.via === 'http' && feed.isPushed) return feed;
      return {
        board: event.board,
        boardAtMonoMs: event.monoMs,
        isPushed: feed.isPushed || event.via === 'push',
      };
    case 'readings':
      return withBoard(feed, (board) => ({ ...board, rows: withReadings(board.rows, event.readings) }));
    case 'alarm':
      return withBoard(feed, (board) => ({ ...board, alarms: withAlarm(board.alarms, event.alarm) }));
  }
}

function withBoard(feed: Feed, change: (board: Board) => Board): Feed {
  return feed.board === null ? feed : { ...feed, board: change(feed.board) };
}

/** Suspect, failed and missing readings wait for the server's judgement in the next board. */
const TRUSTED: readonly number[] = [1, 2];

function withReadings(rows: readonly Row[], readings: ReadingsEvent): Row[] {
  const newest = new Map(readings.map((reading) => [reading.sensorId, reading]));
  return rows.map((row) => {
    const reading = row.sensorId === null ? undefined : newest.get(row.sensorId);
    if (reading === undefined || !TRUSTED.includes(reading.quality)) return row;
    // a probe may be named by several loads of a dish: its readings belong to the one it is in
    if (row.reads === null || row.reads.toMs !== null || reading.atMs < row.reads.fromMs) return row;
    if (row.lastReadingMs !== null && !(reading.atMs > row.lastReadingMs)) return row;
    return { ...row, tempC: reading.tempC, suspect: false, lastReadingMs: reading.atMs };
  });
}

const CLASS_ORDER = { unsafe: 0, 'cannot-tell': 1 } as const;
const STATE_ORDER = { unacknowledged: 0, acknowledged: 1, returned: 2, normal: 3 } as const;

function withAlarm(alarms: readonly Alarm[], alarm: Alarm): Alarm[] {
  const others = alarms.filter((other) => other.id !== alarm.id);
  if (alarm.state === 'normal') return others;
  return [...others, alarm].sort(worstFirst);
}

/** Unsafe before what nobody can tell, unseen before seen, older before newer. */
export function worstFirst(a: Alarm, b: Alarm): number {
  return (
    CLASS_ORDER[a.class] - CLASS_ORDER[b.class] ||
    STATE_ORDER[a.state] - STATE_ORDER[b.state] ||
    a.raisedMs - b.raisedMs
  );
}

const feed = signal<Feed>(EMPTY_FEED);
/** The newest board, or null before the first one. */
export const board = computed<Board | null>(() => feed.value.board);
/** Server time at which the server was last heard, once it has been silent for too long; null while it is heard. */
export const linkLostMs = signal<number | null>(null);
/** Server time, stepped once a second; 0 before the first board. */
export const nowMs = signal(0);

export function dispatch(event: FeedEvent): void {
  feed.value = afterEvent(feed.peek(), event);
  nowMs.value = serverNowMs();
}

/** The server's clock now, epoch ms; 0 before the first board. */
export function serverNowMs(): number {
  return serverTimeAt(feed.peek(), performance.now());
}

/** The server's clock, or this browser's own before the first board. */
export function clockNowMs(): number {
  return feed.peek().board === null ? Date.now() : serverNowMs();
}

/** The server's clock at a monotonic instant of this browser, epoch ms; 0 before the first board. Pure. */
export function serverTimeAt({ board: newest, boardAtMonoMs }: Feed, monoMs: number): number {
  if (newest === null) return 0;
  return newest.asOfMs + (monoMs - boardAtMonoMs) * newest.speed;
}

export function serverTimeAtMono(monoMs: number): number {
  return serverTimeAt(feed.peek(), monoMs);
}
