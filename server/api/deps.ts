import type { Alarm, Board } from '../contract/board.ts';
import type { CookoutRecord, ForecastView, Health } from '../contract/api.ts';
import type { Clock, CookoutRepository, Log, ReadingArchive } from '../ports.ts';
import type { AccessControl } from './access.ts';

/** What the HTTP routes may ask of the rest; wired in main.ts. */
export type ApiDeps = {
  cookouts: CookoutRepository;
  readings: ReadingArchive;
  clock: Clock;
  log: Log;
  access: AccessControl;
  newId: () => string;
  defaultTimeZone: string;
  isTimeZone: (name: string) => boolean;
  live: {
    board(): Board;
    alarms(): Alarm[];
    forecast(batchId: string): ForecastView | null;
    /** The alarm after the cook has said "I see it", or null when there is none of that id that is open. */
    acknowledge(alarmId: string, note: string): Alarm | null;
    /** Something was set up or done: work everything out again now. */
    refresh(): void;
  };
  record(cookoutId: string): CookoutRecord | null;
  recordCsv(cookoutId: string): Iterable<string> | null;
  /** Where probes publish to. */
  mqttUrl: () => string;
  health(): Health;
  metrics(): string;
  /** Folder of the built screens. */
  webDir: string;
};
