import type { Alarm, Board } from './contract/board.ts';
import type { JournalEntry } from './contract/api.ts';
import type { Batch, Cookout, Dish, Place } from './contract/cookout.ts';
import type { ReadingsEvent } from './contract/live-events.ts';
import type { IncomingReading, Reading, Reject, SideReading, Unplugged } from './contract/reading.ts';
import type { Correction, ProbeCheck, ProbeHistory, SensorClock } from './contract/probe.ts';
import type { SpotCheck, Step } from './contract/steps.ts';

export type Clock = {
  /** Wall time, epoch ms. */
  nowMs(): number;
  /** Server seconds per real second; 1 except in a demonstration. */
  readonly speed: number;
};

/** A message that had no time of its own, so that its redelivery can be known (sender and packet id, and a digest). */
export type Delivery = { sender: string; packetId: number; digest: number; isRepeat: boolean };

export type Intake = {
  readings: IncomingReading[];
  sides: SideReading[];
  unplugged: Unplugged[];
  rejects: Reject[];
  delivery: Delivery | null;
};
export type IntakeResult = { stored: IncomingReading[]; duplicates: number };

export type ReadingStore = {
  /**
   * One transaction, on disk when it returns. The same sensor and time twice is one reading. Throws when it cannot. An
   * empty group is written too: that it goes through shows that the store works.
   */
  commit(intakes: readonly Intake[]): IntakeResult;
  /** Everything that was kept, ascending in time, `fromMs` and `toMs` inclusive, with the correction of its time. */
  window(sensorId: string, fromMs: number, toMs: number): Reading[];
  /** The same without what came late: history that the live watch did not have in front of it. */
  watched(sensorId: string, fromMs: number, toMs: number): Reading[];
  /** A temperature as sent, at a moment, to what counts. */
  corrected(sensorId: string, atMs: number, rawC: number): number;
  /** The time of the newest reading that was kept of a sensor; null when there is none. */
  newestMs(sensorId: string): number | null;
};

/** Where a sensor sits, as far as what it can read depends on it. */
export type SeatKind = 'core' | 'cooler' | 'pot' | 'zone' | 'bench';

/** What of the store the gate asks. */
export type GateStore = Pick<ReadingStore, 'newestMs'> & {
  /** Whether this very reading is there: sensor, time and value. */
  has(reading: IncomingReading): boolean;
};

/** Decides when a reading counts and how far it is believed: clocks first, then the quality tests. Keeps state per sensor. */
export type Gate = {
  /** @param about - `isRepeat`: the message was sent before, and nobody knows yet whether it was stored then */
  admit(
    reading: IncomingReading,
    about: { seat: SeatKind | null; isRepeat: boolean; store: GateStore },
  ): IncomingReading;
  /** All that was admitted since the last answer is on disk; these, as they were given back, for the first time. */
  stored(readings: readonly IncomingReading[]): void;
  /** What was admitted since the last answer could not be stored: it comes again, and is then neither late nor a repeat. */
  takeBack(): void;
  clockOf(sensorId: string): SensorClock;
  /** The server's own clock was moved by hand or by the network: what was learnt of other clocks is forgotten. */
  serverClockStepped(): void;
};

/** A stretch in which readings may be missing for a reason of ours: nobody could have heard them. */
export type Outage = {
  kind: 'session-lost' | 'broker-lost' | 'store-failed' | 'clock-stepped';
  fromMs: number;
  toMs: number;
  detail: string;
};
export type OutageLog = {
  add(outage: Outage): void;
  /** Those that touch the span, oldest first. */
  between(fromMs: number, toMs: number): Outage[];
};

/** Checks and corrections of probes: append-only. */
export type ProbeBook = {
  history(sensorId: string): ProbeHistory;
  /** The newest check of each sensor that has one. */
  lastChecks(): ProbeCheck[];
  /** The correction in force at a moment. */
  correctionAt(sensorId: string, atMs: number): Correction | null;
  addCheck(check: ProbeCheck): void;
  /** Throws a RangeError when it would begin before one that is there, or in the middle of a minute. */
  addCorrection(correction: Correction): void;
};

/** Which probe sat in a batch or a place, and when. The first seat of a subject counts from the beginning. */
export type Seat = {
  subjectKind: 'batch' | 'place';
  subjectId: string;
  sensorId: string;
  fromMs: number;
  toMs: number | null;
};

/** A cookout and everything in it, as the tick needs it. Steps ascending in time, withdrawn ones left out. */
export type CookoutState = {
  cookout: Cookout;
  places: Place[];
  dishes: Dish[];
  batches: Batch[];
  steps: Step[];
  spotChecks: SpotCheck[];
  seats: Seat[];
};
/** What the store knows of a sensor. `last` is corrected, `lastRawC` is as sent. */
export type SensorRow = {
  id: string;
  label: string;
  last: Reading | null;
  lastRawC: number | null;
  lastReasons: number;
  battery: { percent: number; atMs: number } | null;
};
/** [epoch ms of the last reading in it, lowest, highest, last], degC. */
export type Bucket = [atMs: number, minC: number, maxC: number, lastC: number];

/** A reading with what else was kept of it: `rawC` as sent, `receivedMs` to half a second. */
export type LoggedReading = Reading & { rawC: number; reasons: number; receivedMs: number };

/** What screens, records and exports ask of the readings. */
export type ReadingArchive = ReadingStore & {
  /** As `window`, with everything that was kept. */
  logged(sensorId: string, fromMs: number, toMs: number): LoggedReading[];
  page(sensorId: string, fromMs: number, toMs: number, limit: number): Reading[];
  /** At most `points` buckets of equal length; failed and missing readings are left out. */
  buckets(sensorId: string, fromMs: number, toMs: number, points: number): Bucket[];
  sensors(): SensorRow[];
  rename(sensorId: string, label: string): boolean;
  /** Newest first. */
  rejects(limit: number): Reject[];
};

export type CookoutStore = {
  /** The cookout on the live screen: the newest that has not ended. */
  current(): CookoutState | null;
  /** Changes whenever anything in any cookout changed. */
  revision(): number;
  sensorsHeard(): number;
};

/** What the set-up and the cook change. Saving replaces what has the same id. */
export type CookoutRepository = CookoutStore & {
  all(): Cookout[];
  get(id: string): CookoutState | null;
  place(id: string): Place | null;
  dish(id: string): Dish | null;
  batch(id: string): Batch | null;
  saveCookout(cookout: Cookout): void;
  /** `sinceMs`: since when newly seated probes sit there; now when left out. */
  savePlace(place: Place, nowMs: number, sinceMs?: number): void;
  saveDish(dish: Dish): void;
  saveBatch(batch: Batch, nowMs: number): void;
  /** The caller makes sure that nothing refers to it any more. */
  remove(kind: 'place' | 'dish' | 'batch', id: string): void;
  steps(batchId: string): Step[];
  addStep(step: Step, recordedMs: number): void;
  step(id: string): { step: Step; recordedMs: number } | null;
  withdrawStep(id: string, nowMs: number): void;
  addSpotCheck(check: SpotCheck, recordedMs: number): void;
};

/** What must survive a restart of an alarm, beside its journal. */
export type AlarmMemory = {
  alarm: Alarm;
  cookoutId: string | null;
  /** The key under which the same condition is found again. */
  key: string;
  /** What it is about, by name, also when that is gone. */
  subjectName: string;
};
export type JournalStore = {
  openAlarms(): AlarmMemory[];
  /** One transaction: the alarm as it is now and the line that says what happened. */
  record(memory: AlarmMemory, entry: JournalEntry): void;
};
export type JournalArchive = JournalStore & { entries(cookoutId: string): JournalEntry[] };

export type LiveFeed = {
  board(board: Board): void;
  readings(readings: ReadingsEvent): void;
  alarm(alarm: Alarm): void;
};

export type Log = {
  info(fields: Record<string, unknown>, message: string): void;
  warn(fields: Record<string, unknown>, message: string): void;
  error(fields: Record<string, unknown>, message: string): void;
};

/** Group commits since the start. Times in ms. */
export type CommitStats = {
  commits: number;
  failures: number;
  /** Messages that were not stored and not acknowledged, each time that they were tried. */
  refused: number;
  totalMs: number;
  lastMs: number;
  meanMs: number;
  maxMs: number;
};
