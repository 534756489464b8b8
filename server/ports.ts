import type { Alarm, Board } from './contract/board.ts';
import type { JournalEntry } from './contract/api.ts';
import type { Batch, Cookout, Dish, Place } from './contract/cookout.ts';
import type { ReadingsEvent } from './contract/live-events.ts';
import type { IncomingReading, Reading, Reject } from './contract/reading.ts';
import type { SpotCheck, Step } from './contract/steps.ts';

export type Clock = {
  /** Wall time, epoch ms. */
  nowMs(): number;
  /** Server seconds per real second; 1 except in a demonstration. */
  readonly speed: number;
};

/** A message that had no time of its own, so that its redelivery can be known (sender and packet id, and a digest). */
export type Delivery = { sender: string; packetId: number; digest: string; isRepeat: boolean };

export type Intake = { readings: IncomingReading[]; rejects: Reject[]; delivery: Delivery | null };
export type IntakeResult = { stored: IncomingReading[]; duplicates: number };

export type ReadingStore = {
  /** One transaction, on disk when it returns. The same sensor and time twice is one reading. Throws when it cannot. */
  commit(intakes: readonly Intake[]): IntakeResult;
  /** Ascending in time, `fromMs` and `toMs` inclusive. */
  window(sensorId: string, fromMs: number, toMs: number): Reading[];
};

/** A cookout and everything in it, as the tick needs it. Steps ascending in time, withdrawn ones left out. */
export type CookoutState = {
  cookout: Cookout;
  places: Place[];
  dishes: Dish[];
  batches: Batch[];
  steps: Step[];
  spotChecks: SpotCheck[];
};
export type CookoutStore = {
  /** The cookout on the live screen: the newest that has not ended. */
  current(): CookoutState | null;
  /** Changes whenever anything in any cookout changed. */
  revision(): number;
  sensorsHeard(): number;
};

/** What must survive a restart of an alarm, beside its journal. */
export type AlarmMemory = {
  alarm: Alarm;
  cookoutId: string | null;
  /** The key under which the same condition is found again. */
  key: string;
};
export type JournalStore = {
  openAlarms(): AlarmMemory[];
  /** One transaction: the alarm as it is now and the line that says what happened. */
  record(memory: AlarmMemory, entry: JournalEntry): void;
};

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
