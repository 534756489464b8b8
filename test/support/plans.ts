import type { CookoutDetail, CookoutRecord, JournalEntry, RecordTrace } from '../../server/contract/api.ts';
import type { SensorView } from '../../server/contract/probe.ts';
import type { LimitView } from '../../server/contract/board.ts';
import type { Batch, Cookout, Dish, Place } from '../../server/contract/cookout.ts';

/** Everything here is invented: an allotment society's harvest supper, Saturday 19 September 2026. */
export const LONDON = 'Europe/London';
/** 17:00 by the clock at the allotments. */
export const FIVE_PM_MS = Date.UTC(2026, 8, 19, 16, 0);
export const MIN_MS = 60_000;

export function aCookout(over: Partial<Cookout> = {}): Cookout {
  return {
    id: 'supper',
    name: 'Harvest supper',
    timeZone: LONDON,
    altitudeM: 0,
    ruleSet: 'uk',
    guests: 38,
    diets: [],
    serves: [
      { id: 'first', atMs: FIVE_PM_MS + 90 * MIN_MS },
      { id: 'second', atMs: FIVE_PM_MS + 140 * MIN_MS },
    ],
    isDemo: true,
    createdMs: FIVE_PM_MS - 600 * MIN_MS,
    endedMs: null,
    ...over,
  };
}

export function aDish(over: Partial<Dish> = {}): Dish {
  return {
    id: 'thighs',
    cookoutId: 'supper',
    name: 'Chicken thighs',
    short: 'Chicken',
    food: 'chicken',
    shape: 'slab',
    thicknessMm: 26,
    targetC: 75,
    clockMin: null,
    restMin: 5,
    turnPlan: { kind: 'once' },
    reserve: false,
    heatMin: null,
    order: 0,
    ...over,
  };
}

type DetailBatch = CookoutDetail['batches'][number];
export function aBatch(over: Partial<DetailBatch> = {}): DetailBatch {
  const batch: Batch = {
    id: 'thighs-1',
    dishId: 'thighs',
    label: '1st',
    pieces: 20,
    serveId: 'first',
    sensorId: 'core-1',
    placeId: 'hot',
    plannedOnMs: null,
    order: 0,
  };
  return { ...batch, status: 'planned', ...over };
}

export function aPlace(over: Partial<Place> = {}): Place {
  return {
    id: 'hot',
    cookoutId: 'supper',
    kind: 'zone',
    name: 'Left side',
    short: 'Left',
    heat: 'hot',
    litres: null,
    sensorIds: [],
    order: 0,
    ...over,
  };
}

export function aDetail(over: Partial<CookoutDetail> = {}): CookoutDetail {
  return {
    cookout: aCookout(),
    places: [aPlace()],
    dishes: [aDish()],
    batches: [aBatch()],
    steps: [],
    spotChecks: [],
    ...over,
  };
}

export function aSensor(over: Partial<SensorView> = {}): SensorView {
  return {
    id: 'core-1',
    label: 'core-1',
    lastValueC: 21.4,
    lastRawC: 21.4,
    lastAtMs: FIVE_PM_MS,
    ageMs: 3_000,
    quality: 1,
    reasons: [],
    assignedTo: null,
    battery: null,
    unpluggedSinceMs: null,
    clock: { kind: 'none', behindMs: null },
    standing: 'passed',
    lastCheck: null,
    correction: null,
    ...over,
  };
}

/** UK cold limit, 8 degC: Food Safety and Hygiene (England) Regulations 2013, schedule 4 paragraph 2. */
export const COLD_LIMIT: LimitView = {
  id: 'uk-cold',
  valueC: 8,
  kind: 'max',
  text: '8 °C or colder',
  source: 'Food Safety and Hygiene (England) Regulations 2013, schedule 4 paragraph 2',
  status: 'read',
};

/** UK hot limit, 63 degC: Food Hygiene (Wales) Regulations 2006, schedule 4 paragraph 6. */
export const HOT_LIMIT: LimitView = {
  id: 'uk-hot',
  valueC: 63,
  kind: 'min',
  text: '63 °C or hotter',
  source: 'Food Hygiene (Wales) Regulations 2006, schedule 4 paragraph 6',
  status: 'read',
};

/** 70 degC for 2 minutes: UK Food Standards Agency, time and temperature equivalents, as quoted in trade courses, 2015. */
export const CORE_LIMIT: LimitView = {
  id: 'uk-core',
  valueC: 70,
  kind: 'core',
  text: '70 °C for 2 min',
  source: 'UK Food Standards Agency, time and temperature equivalents for cooking',
  status: 'read-second-hand',
};

type TraceSetup = Partial<RecordTrace> & { valuesC?: readonly number[]; everyMs?: number };

/** A trace with one value each minute, unless told otherwise. */
export function aTrace({ valuesC = [4, 4.2, 4.4], everyMs = MIN_MS, ...over }: TraceSetup = {}): RecordTrace {
  const fromMs = over.fromMs ?? FIVE_PM_MS;
  const points = valuesC.map((tempC, index): RecordTrace['points'][number] => [
    fromMs + index * everyMs,
    tempC,
    tempC,
    tempC,
  ]);
  return {
    subject: { kind: 'place', id: 'trout-bag' },
    name: 'Trout bag',
    kind: 'cold',
    sensorId: 'bag-trout',
    probes: [{ sensorId: 'bag-trout', standing: 'passed', checks: [], corrections: [] }],
    fromMs,
    toMs: fromMs + Math.max(1, valuesC.length - 1) * everyMs,
    limit: COLD_LIMIT,
    targetC: null,
    points,
    gaps: [],
    lowestC: valuesC.length === 0 ? null : Math.min(...valuesC),
    highestC: valuesC.length === 0 ? null : Math.max(...valuesC),
    outsideMs: 0,
    core: null,
    ...over,
  };
}

export function anEntry(over: Partial<JournalEntry> = {}): JournalEntry {
  return {
    alarmId: 'trout-over',
    kind: 'cold-over',
    atMs: FIVE_PM_MS + 54 * MIN_MS,
    event: 'raised',
    state: 'unacknowledged',
    subjectName: 'Trout bag',
    valueC: 8.6,
    limitC: 8,
    note: '',
    ...over,
  };
}

export function aRecord(over: Partial<CookoutRecord> = {}): CookoutRecord {
  return {
    cookout: aCookout({ endedMs: FIVE_PM_MS + 180 * MIN_MS }),
    asOfMs: FIVE_PM_MS + 221 * MIN_MS,
    fromMs: FIVE_PM_MS,
    toMs: FIVE_PM_MS + 180 * MIN_MS,
    traces: [aTrace()],
    steps: [],
    spotChecks: [],
    journal: [],
    outages: [],
    ...over,
  };
}
