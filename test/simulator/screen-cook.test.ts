import { describe, expect, it } from 'vitest';
import type { JournalEntry } from '../../server/contract/api.ts';
import type { Action, Alarm, Board, Row } from '../../server/contract/board.ts';
import { HARVEST_SUPPER } from '../../simulator/scenarios/harvest-supper.ts';
import type { Mapping } from '../../simulator/mapping.ts';
import {
  SEES_AFTER_MS,
  iceOfBoard,
  iceOfJournal,
  overdueActions,
  patienceMs,
  unseenAlarms,
} from '../../simulator/screen-cook.ts';

const NOW_MS = 1_764_000_000_000;

function action(part: Partial<Action>): Action {
  return {
    id: 'a1',
    verb: 'turn',
    rowId: 'r1',
    batchId: 'b1',
    short: 'Kofta',
    full: 'Lamb kofta',
    atMs: NOW_MS - 100_000,
    known: true,
    step: 'turned',
    ...part,
  };
}
function alarm(part: Partial<Alarm>): Alarm {
  return {
    id: 'cold-1',
    kind: 'cold-over',
    class: 'unsafe',
    state: 'unacknowledged',
    rowId: 'r9',
    subject: { kind: 'place', id: 'p-trout' },
    title: 'Trout bag too warm',
    detail: '',
    raisedMs: NOW_MS - SEES_AFTER_MS,
    seenMs: null,
    returnedMs: null,
    valueC: 8.4,
    limitC: 8,
    ...part,
  };
}
function row(part: Partial<Row>): Row {
  return {
    id: 'r1',
    subject: { kind: 'batch', id: 'b1' },
    kind: 'cook',
    short: 'Kofta',
    full: 'Lamb kofta',
    tag: null,
    placeName: null,
    reads: null,
    sensorId: null,
    probe: null,
    tempC: null,
    suspect: false,
    lastReadingMs: null,
    targetC: 75,
    limit: null,
    quantilesMs: null,
    basis: null,
    why: null,
    learnMin: null,
    known: [],
    serveAtMs: null,
    restMin: 0,
    gateMs: null,
    onTimeOf10: null,
    state: 'forecast',
    sinceMs: null,
    outsideMs: null,
    fell: null,
    seenMs: null,
    alarmId: null,
    status: 'on',
    isNext: false,
    ...part,
  };
}
function board(part: Partial<Board>): Board {
  return {
    asOfMs: NOW_MS,
    speed: 1,
    cookout: null,
    next: [],
    alarms: [],
    zones: [],
    rows: [],
    watchOk: true,
    sensorsHeard: 0,
    allServed: false,
    ...part,
  };
}
const MAPPING: Mapping = {
  placeIds: new Map([['trout-bag', 'p-trout']]),
  placeKeys: new Map([['p-trout', 'trout-bag']]),
  batchIds: new Map(),
  batchKeys: new Map(),
};

describe('the invented cook', () => {
  it('lets a person be first: acts only after the patience, longer at a speed a person can follow', () => {
    expect(patienceMs(1)).toBe(90_000);
    expect(patienceMs(30)).toBe(15_000);
    const next = [action({ atMs: NOW_MS - 90_000 }), action({ id: 'a2', atMs: NOW_MS - 90_001 })];
    expect(overdueActions(board({ next }), NOW_MS, 90_000).map(({ id }) => id)).toEqual(['a2']);
  });

  it('does nothing that leaves no step, and moves nothing when the screen does not say where to', () => {
    const next = [action({ verb: 'check', step: null }), action({ verb: 'move', step: 'moved' })];
    expect(overdueActions(board({ next }), NOW_MS, 0)).toEqual([]);
  });

  it('takes nothing off the fire on an estimate alone', () => {
    const next = [action({ verb: 'off', step: 'off', known: false })];
    const off = (state: Row['state']): number =>
      overdueActions(board({ next, rows: [row({ state })] }), NOW_MS, 0).length;
    expect(off('forecast')).toBe(0);
    expect(off('silent')).toBe(0);
    expect(off('ready')).toBe(1);
    expect(off('overdue')).toBe(1);
    expect(overdueActions(board({ next }), NOW_MS, 0)).toEqual([]);
    expect(overdueActions(board({ next: [action({ verb: 'off', step: 'off' })] }), NOW_MS, 0)).toHaveLength(
      1,
    );
  });

  it('sees an alarm two and a half minutes after it was raised, also when it has returned, and only once', () => {
    const seenBy = (part: Partial<Alarm>): number =>
      unseenAlarms(board({ alarms: [alarm(part)] }), NOW_MS).length;
    expect(seenBy({})).toBe(1);
    expect(seenBy({ raisedMs: NOW_MS - SEES_AFTER_MS + 1 })).toBe(0);
    expect(seenBy({ state: 'returned', returnedMs: NOW_MS })).toBe(1);
    expect(seenBy({ state: 'acknowledged', seenMs: NOW_MS - 1 })).toBe(0);
  });
});

describe('ice', () => {
  it('is laid on the food of the cooler whose alarm was seen while it lasted, whoever saw it', () => {
    const loads = iceOfBoard(HARVEST_SUPPER, MAPPING, [
      alarm({ state: 'acknowledged', seenMs: NOW_MS - 5000 }),
    ]);
    expect([...loads]).toEqual([
      ['cold-1', { kind: 'ice', atMs: NOW_MS - 5000, place: 'trout-bag', iceKg: 2 }],
    ]);
  });
  it('is not laid for an alarm that nobody saw, of another kind, or of a place that is not a cooler', () => {
    const seen = { state: 'acknowledged', seenMs: NOW_MS } as const;
    const alarms = [
      alarm({}),
      alarm({ ...seen, kind: 'probe-silent' }),
      alarm({ ...seen, subject: { kind: 'place', id: 'p-unknown' } }),
      alarm({ ...seen, returnedMs: NOW_MS - 1 }),
    ];
    expect(iceOfBoard(HARVEST_SUPPER, MAPPING, alarms).size).toBe(0);
  });
  it('is found again in the record after a restart', () => {
    const entry = (event: JournalEntry['event'], atMs: number, alarmId: string): JournalEntry => ({
      alarmId,
      kind: 'cold-over',
      atMs,
      event,
      state: '',
      subjectName: 'Trout bag',
      valueC: null,
      limitC: null,
      note: '',
    });
    const journal = [
      entry('raised', NOW_MS - 300_000, 'one'),
      entry('acknowledged', NOW_MS - 200_000, 'one'),
      entry('raised', NOW_MS - 100_000, 'two'),
      entry('returned', NOW_MS - 90_000, 'two'),
      entry('acknowledged', NOW_MS - 80_000, 'two'),
    ];
    const loads = iceOfJournal(HARVEST_SUPPER, journal);
    expect([...loads.keys()]).toEqual(['one']);
    expect(loads.get('one')?.atMs).toBe(NOW_MS - 200_000);
  });
});
