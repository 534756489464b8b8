import type { Action, Alarm, Board, LimitView, Row } from '../../server/contract/board.ts';

/** An invented evening: an allotment society's harvest supper, half an hour before the first serving. */
export const NOW_MS = Date.parse('2026-09-19T17:04:00Z');
export const ZONE = 'Europe/London';
export const MINUTE_MS = 60_000;

export function inMin(minutes: number): number {
  return NOW_MS + minutes * MINUTE_MS;
}

export function quantilesIn(...minutes: (number | null)[]): (number | null)[] {
  return minutes.map((t) => (t === null ? null : inMin(t)));
}

export const COLD_LIMIT: LimitView = {
  id: 'uk-cold-8',
  valueC: 8,
  kind: 'max',
  text: '8 °C',
  source: 'Food Safety and Hygiene (England) Regulations 2013, schedule 4',
  status: 'read-second-hand',
};
export const HOT_LIMIT: LimitView = {
  ...COLD_LIMIT,
  id: 'uk-hot-63',
  valueC: 63,
  kind: 'min',
  text: '63 °C',
};
export const CORE_LIMIT: LimitView = {
  ...COLD_LIMIT,
  id: 'uk-core-70',
  valueC: 70,
  kind: 'core',
  text: '70 °C for 2 min',
};

export function makeRow(change: Partial<Row> = {}): Row {
  const id = change.id ?? 'chicken';
  return {
    id,
    subject: { kind: 'batch', id: `batch-${id}` },
    kind: 'cook',
    short: 'Chicken',
    full: 'Chicken thighs',
    tag: null,
    placeName: 'left',
    sensorId: `probe-${id}`,
    probe: 'passed',
    reads: { fromMs: 0, toMs: null },
    tempC: 68.4,
    suspect: false,
    lastReadingMs: inMin(-0.05),
    targetC: 75,
    limit: CORE_LIMIT,
    quantilesMs: quantilesIn(5.3, 5.9, 6.3, 6.7, 7, 7.3, 7.7, 8.1, 8.6, 9.6),
    basis: 'curve',
    why: null,
    learnMin: null,
    known: [],
    serveAtMs: inMin(26),
    restMin: 5,
    gateMs: inMin(21),
    onTimeOf10: 10,
    state: 'forecast',
    sinceMs: null,
    outsideMs: null,
    fell: null,
    seenMs: null,
    alarmId: null,
    status: 'on',
    isNext: false,
    ...change,
  };
}

export function makeHold(change: Partial<Row> = {}): Row {
  const id = change.id ?? 'trout-bag';
  return makeRow({
    id,
    subject: { kind: 'place', id: `place-${id}` },
    kind: 'cold',
    short: 'Trout bag',
    full: 'Trout bag',
    placeName: null,
    tempC: 6.7,
    targetC: null,
    limit: COLD_LIMIT,
    quantilesMs: quantilesIn(26, 29, 32, 35, 38, 42, 46, 51, 58, 75),
    serveAtMs: null,
    restMin: 0,
    gateMs: null,
    onTimeOf10: null,
    state: 'holding',
    status: null,
    ...change,
  });
}

export const NEVER = quantilesIn(null, null, null, null, null, null, null, null, null, null);

export function makeAction(change: Partial<Action> = {}): Action {
  return {
    id: 'turn-kofta',
    verb: 'turn',
    rowId: 'kofta',
    batchId: 'batch-kofta',
    short: 'Kofta',
    full: 'Lamb kofta',
    atMs: inMin(2),
    known: true,
    step: 'turned',
    ...change,
  };
}

export function makeAlarm(change: Partial<Alarm> = {}): Alarm {
  return {
    id: 'alarm-trout-bag',
    kind: 'cold-over',
    class: 'unsafe',
    state: 'unacknowledged',
    rowId: 'trout-bag',
    subject: { kind: 'place', id: 'place-trout-bag' },
    title: 'Trout bag too warm',
    detail: '9.1°, over 8° for 12 min. Ice it or cook it now.',
    raisedMs: inMin(-2),
    seenMs: null,
    returnedMs: null,
    valueC: 9.1,
    limitC: 8,
    ...change,
  };
}

function grill(): Row[] {
  return [
    makeRow(),
    makeRow({
      id: 'kofta',
      short: 'Kofta',
      full: 'Lamb kofta',
      tempC: 58.2,
      quantilesMs: quantilesIn(8.5, 9.4, 10, 10.5, 11, 11.5, 12, 12.7, 13.6, 15.5),
      known: [{ verb: 'turn', atMs: inMin(2) }],
      restMin: 0,
      gateMs: inMin(26),
      isNext: true,
    }),
    makeRow({
      id: 'halloumi',
      kind: 'clock',
      short: 'Halloumi',
      full: 'Halloumi skewers',
      sensorId: null,
      probe: null,
      tempC: null,
      lastReadingMs: null,
      targetC: null,
      limit: null,
      quantilesMs: null,
      basis: 'clock',
      known: [
        { verb: 'turn', atMs: inMin(4) },
        { verb: 'off', atMs: inMin(8) },
      ],
      serveAtMs: inMin(26),
      restMin: 0,
      gateMs: inMin(26),
      onTimeOf10: null,
      state: 'by-clock',
    }),
    makeRow({
      id: 'trout',
      short: 'Trout',
      full: 'Whole trout',
      tempC: 41.3,
      targetC: 63,
      quantilesMs: quantilesIn(13, 14.3, 15.2, 16, 16.8, 17.6, 18.5, 19.6, 21.2, 24.5),
      known: [{ verb: 'turn', atMs: inMin(5) }],
      restMin: 0,
      gateMs: inMin(26),
    }),
    makeRow({
      id: 'pork',
      short: 'Pork',
      full: 'Pork shoulder',
      placeName: 'right',
      tempC: 86.2,
      targetC: 93,
      quantilesMs: quantilesIn(29, 34, 37, 40, 42, 45, 48, 53, 60, 72),
      serveAtMs: inMin(76),
      restMin: 30,
      gateMs: inMin(46),
      onTimeOf10: 6,
    }),
  ];
}

function holds(): Row[] {
  return [
    makeHold({ id: 'raw-bag', short: 'Raw meat', full: 'Raw meat bag', tempC: 3.6, quantilesMs: NEVER }),
    makeHold({ state: 'watch' }),
    makeHold({
      id: 'stew',
      short: 'Stew',
      full: 'Bean stew',
      tag: 'reserve',
      tempC: 4.2,
      quantilesMs: NEVER,
      known: [{ verb: 'heat', atMs: inMin(41) }],
    }),
    makeHold({
      id: 'barley',
      kind: 'hot',
      short: 'Barley',
      full: 'Pearl barley',
      tempC: 74.1,
      limit: HOT_LIMIT,
      quantilesMs: quantilesIn(66, 72, 78, 85, 92, 99, 107, 115, 126, 140),
    }),
  ];
}

export function makeBoard(change: Partial<Board> = {}): Board {
  return {
    asOfMs: NOW_MS,
    speed: 1,
    cookout: {
      id: 'harvest-supper',
      name: 'Harvest supper',
      guests: 38,
      timeZone: ZONE,
      ruleSet: 'uk',
      serves: [
        { id: 'first', atMs: inMin(26) },
        { id: 'second', atMs: inMin(76) },
      ],
      isDemo: true,
    },
    next: [
      makeAction(),
      makeAction({
        id: 'turn-halloumi',
        rowId: 'halloumi',
        batchId: 'batch-halloumi',
        short: 'Halloumi',
        atMs: inMin(4),
      }),
    ],
    alarms: [],
    zones: [
      { id: 'left', name: 'left', heat: 'hot', tempC: 245 },
      { id: 'middle', name: 'middle', heat: 'medium', tempC: 210 },
      { id: 'right', name: 'right', heat: 'gentle', tempC: 135 },
    ],
    rows: [...grill(), ...holds()],
    watchOk: true,
    sensorsHeard: 9,
    allServed: false,
    ...change,
  };
}

/** The same evening with one row changed. */
export function withRow(board: Board, id: string, change: Partial<Row>): Board {
  return { ...board, rows: board.rows.map((row) => (row.id === id ? { ...row, ...change } : row)) };
}

export const UNSAFE: Partial<Row> = {
  tempC: 9.1,
  state: 'unsafe',
  quantilesMs: null,
  sinceMs: inMin(-12),
  outsideMs: 12 * MINUTE_MS,
  alarmId: 'alarm-trout-bag',
};

export function unsafeBoard(): Board {
  return { ...withRow(makeBoard(), 'trout-bag', UNSAFE), alarms: [makeAlarm()] };
}

export function acknowledgedBoard(): Board {
  const seen: Partial<Row> = {
    ...UNSAFE,
    state: 'acknowledged',
    seenMs: inMin(1),
    outsideMs: 13 * MINUTE_MS,
  };
  const alarm = makeAlarm({ state: 'acknowledged', seenMs: inMin(1) });
  return { ...withRow(makeBoard(), 'trout-bag', seen), alarms: [alarm] };
}
