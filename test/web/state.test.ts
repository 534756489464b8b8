import { describe, expect, it } from 'vitest';
import { EMPTY_FEED, afterEvent, serverTimeAt } from '../../web/state.ts';
import type { Feed, FeedEvent } from '../../web/state.ts';
import { NOW_MS, inMin, makeAlarm, makeBoard, unsafeBoard } from '../support/boards.ts';

const pushed = (board = makeBoard(), monoMs = 0): FeedEvent => ({
  kind: 'board',
  board,
  via: 'push',
  monoMs,
});
const fed = (...events: FeedEvent[]): Feed => events.reduce(afterEvent, EMPTY_FEED);
const reading = (quality: number, atMs = inMin(0)): FeedEvent => ({
  kind: 'readings',
  readings: [{ sensorId: 'probe-trout-bag', tempC: 9.1, atMs, quality }],
});
const bagOf = ({ board }: Feed) => board!.rows.find((row) => row.id === 'trout-bag')!;

describe('a board', () => {
  it('replaces the one before, even when its clock is older: the server may have started again', () => {
    const older = makeBoard({ asOfMs: NOW_MS - 60_000 });
    expect(fed(pushed(), pushed(older)).board?.asOfMs).toBe(older.asOfMs);
  });

  it('that was fetched for the first paint never replaces one that was pushed', () => {
    const fetched: FeedEvent = {
      kind: 'board',
      board: makeBoard({ sensorsHeard: 0 }),
      via: 'http',
      monoMs: 0,
    };
    expect(fed(pushed(), fetched).board?.sensorsHeard).toBe(9);
    expect(fed(fetched, pushed()).board?.sensorsHeard).toBe(9);
    expect(fed(fetched).board?.sensorsHeard).toBe(0);
  });
});

describe('a reading', () => {
  it('shows at once on every row of its sensor', () => {
    expect(bagOf(fed(pushed(), reading(1))).tempC).toBe(9.1);
  });

  it('leaves the judgement to the server: the state of the row stays', () => {
    expect(bagOf(fed(pushed(), reading(1))).state).toBe('watch');
  });

  it.each([3, 4, 9])('of quality %i waits for the next board', (quality) => {
    expect(bagOf(fed(pushed(), reading(quality))).tempC).toBe(6.7);
  });

  it('that is older than the one shown is not shown', () => {
    expect(bagOf(fed(pushed(), reading(1, inMin(-5)))).tempC).toBe(6.7);
  });

  it('that is good ends the doubt about the one before it', () => {
    const board = makeBoard();
    const doubted = { ...board, rows: board.rows.map((row) => ({ ...row, suspect: true })) };
    expect(bagOf(fed(pushed(doubted), reading(3))).suspect).toBe(true);
    expect(bagOf(fed(pushed(doubted), reading(1))).suspect).toBe(false);
  });

  it('before the first board changes nothing', () => {
    expect(fed(reading(1))).toEqual(EMPTY_FEED);
  });
});

describe('an alarm', () => {
  const alarm = (change: Parameters<typeof makeAlarm>[0]): FeedEvent => ({
    kind: 'alarm',
    alarm: makeAlarm(change),
  });

  it('joins the board, unsafe before what nobody can tell', () => {
    const feed = fed(pushed(), alarm({ id: 'silent', class: 'cannot-tell', raisedMs: inMin(-9) }), alarm({}));
    expect(feed.board?.alarms.map(({ id }) => id)).toEqual(['alarm-trout-bag', 'silent']);
  });

  it('replaces what was known of it', () => {
    const feed = fed(pushed(unsafeBoard()), alarm({ state: 'acknowledged' }));
    expect(feed.board?.alarms.map(({ state }) => state)).toEqual(['acknowledged']);
  });

  it('goes when it is back to normal', () => {
    expect(fed(pushed(unsafeBoard()), alarm({ state: 'normal' })).board?.alarms).toEqual([]);
  });
});

describe("the server's clock", () => {
  it('runs on with the time of this browser', () => {
    expect(serverTimeAt(fed(pushed(makeBoard(), 1_000)), 6_000)).toBe(NOW_MS + 5_000);
  });

  it('runs at the speed of a demonstration', () => {
    expect(serverTimeAt(fed(pushed(makeBoard({ speed: 20 }))), 3_000)).toBe(NOW_MS + 60_000);
  });

  it('is unknown before the first board', () => {
    expect(serverTimeAt(EMPTY_FEED, 5_000)).toBe(0);
  });
});
