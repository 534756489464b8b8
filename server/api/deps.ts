import type { Alarm, Board } from '../contract/board.ts';
import type { CookoutRecord, ForecastView, Health } from '../contract/api.ts';
import type {
  CheckAnswer,
  Correction,
  CorrectionInput,
  ProbeCheckInput,
  ProbeHistory,
  SensorClock,
  SensorView,
} from '../contract/probe.ts';
import type { Clock, CookoutRepository, Log, ReadingArchive, SensorRow } from '../ports.ts';
import type { AccessControl } from './access.ts';
import type { MappingDesk } from './mapping-desk.ts';

/** Done, or why not, and which field says so. */
export type ProbeOutcome<T> = { kind: 'done'; value: T } | { kind: 'refused'; field: string; why: string };

/** What the HTTP routes may ask of the rest; wired in main.ts. */
export type ApiDeps = {
  cookouts: CookoutRepository;
  readings: ReadingArchive;
  probes: {
    history(sensorId: string): ProbeHistory;
    stateOf(sensorId: string): Pick<SensorView, 'standing' | 'lastCheck' | 'correction'>;
    check(sensor: SensorRow, input: ProbeCheckInput): ProbeOutcome<CheckAnswer>;
    correct(sensorId: string, input: CorrectionInput): ProbeOutcome<Correction>;
  };
  mapping: MappingDesk;
  clockOf: (sensorId: string) => SensorClock;
  /** Since when a channel has said that nothing is plugged in, epoch ms. */
  unpluggedSinceMs: (sensorId: string) => number | null;
  clock: Clock;
  log: Log;
  access: AccessControl;
  newId: () => string;
  defaultTimeZone: string;
  isTimeZone: (name: string) => boolean;
  /** Whether it failed because the store cannot be written just now. */
  isStoreFault: (error: unknown) => boolean;
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
