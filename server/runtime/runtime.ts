import { acknowledgeAlarm, withdrawAlarm } from '../alarms/by-hand.ts';
import { evaluateAlarms, type AlarmChange } from '../alarms/evaluate.ts';
import type { Condition } from '../alarms/condition.ts';
import type { ForecastView } from '../contract/api.ts';
import type { Alarm, Board } from '../contract/board.ts';
import type { IncomingReading } from '../contract/reading.ts';
import type {
  AlarmMemory,
  Clock,
  CookoutState,
  CookoutStore,
  Gate,
  GateStore,
  Intake,
  IntakeResult,
  JournalStore,
  LiveFeed,
  Log,
  ProbeBook,
  ReadingStore,
  SeatKind,
} from '../ports.ts';
import { boardOf, emptyBoard, type BoardParts } from './board.ts';
import { forecastView } from './forecast-view.ts';
import { Forecasts } from './forecasts.ts';
import { judgeBatches } from './judge-batch.ts';
import { judgePlaces } from './judge-place.ts';
import { Latest } from './latest.ts';
import { seatKinds } from './seat-kinds.ts';
import { ProbeTrust } from './probe-trust.ts';
import { setScene } from './scene.ts';
import { LOOK_BACK_MS, Tracks } from './tracks.ts';

export type RuntimePorts = {
  clock: Clock;
  readings: ReadingStore;
  gate: Gate;
  cookouts: CookoutStore;
  journal: JournalStore;
  probes: Pick<ProbeBook, 'history'>;
  feed: LiveFeed;
  log: Log;
  /** False while readings cannot be stored: that is an alarm of its own. */
  isStoring: () => boolean;
  /** Since when a channel has said that nothing is plugged in; null = as far as is known something is. */
  unpluggedSinceMs: (sensorId: string) => number | null;
};

const WATCH_FAILED = 'system:watch';
const STORE_FAILED = 'system:store';
/** What is kept of a temperature is rounded to a hundredth. */
const ROUNDING_C = 0.01;

/** The tick: admit, store, estimate, safety, alarms, next actions, publish. Sees ports only; time comes from the clock port. */
export class Runtime {
  private readonly ports: RuntimePorts;
  private readonly tracks: Tracks;
  private readonly latest: Latest;
  private readonly gateStore: GateStore;
  private readonly forecasts = new Forecasts();
  private open: AlarmMemory[];
  private state: CookoutState | null = null;
  private seats: ReadonlyMap<string, SeatKind> = new Map();
  private revision = -1;
  private parts: BoardParts | null = null;
  private newest: Board;
  /** What happened to alarms and is not on disk yet, oldest first. */
  private readonly unwritten: AlarmChange[] = [];
  private watchFailedMs: number | null = null;
  private storeFailedMs: number | null = null;

  constructor(ports: RuntimePorts) {
    this.ports = ports;
    this.tracks = new Tracks(ports.readings);
    this.latest = new Latest(ports.readings);
    this.gateStore = gateStore(ports.readings);
    this.open = ports.journal.openAlarms();
    this.newest = emptyBoard(ports.clock.nowMs(), ports.clock.speed, 0);
  }

  /** Admits and stores a group of messages in one transaction. Throws when the store does. */
  take(intakes: readonly Intake[]): IntakeResult {
    const { gate, readings } = this.ports;
    let result: IntakeResult;
    try {
      result = readings.commit(intakes.map((intake) => this.admitted(intake)));
    } catch (err: unknown) {
      gate.takeBack();
      throw err;
    }
    gate.stored(result.stored);
    this.tracks.add(result.stored);
    this.latest.add(result.stored);
    return result;
  }

  private admitted({ readings, sides, unplugged, rejects, delivery }: Intake): Intake {
    const isRepeat = delivery?.isRepeat ?? false;
    const admitted: IncomingReading[] = [];
    for (const reading of asMeasured(readings)) {
      const seat = this.seats.get(reading.sensorId) ?? null;
      admitted.push(this.ports.gate.admit(reading, { seat, isRepeat, store: this.gateStore }));
    }
    return { readings: admitted, sides, unplugged, rejects, delivery };
  }

  board(): Board {
    return this.newest;
  }
  alarms(): Alarm[] {
    return this.open.map((memory) => memory.alarm);
  }
  forecast(batchId: string): ForecastView | null {
    return this.parts ? forecastView(batchId, this.parts) : null;
  }

  pushReadings(): void {
    this.ports.feed.readings(this.latest.take());
  }

  /** One pass of everything. A failure of the watch is itself the loudest alarm; it never ends the server. */
  tick(): void {
    const nowMs = this.ports.clock.nowMs();
    if (this.unwritten.length > 0) this.writeDown();
    try {
      this.pass(nowMs);
      this.watchFailedMs = null;
    } catch (err: unknown) {
      this.watchFailedMs ??= nowMs;
      this.ports.log.error({ err }, 'the safety watch failed');
      this.newest = { ...this.newest, asOfMs: nowMs, watchOk: false };
      this.tellWatchFailed(nowMs);
    }
    this.ports.feed.board(this.newest);
  }

  acknowledge(alarmId: string, note: string): Alarm | null {
    const memory = this.open.find((m) => m.alarm.id === alarmId);
    if (!memory) return null;
    const change = acknowledgeAlarm({ memory, note, nowMs: this.ports.clock.nowMs() });
    if (change) this.apply([change]);
    this.tick();
    return change?.memory.alarm ?? memory.alarm;
  }

  private pass(nowMs: number): void {
    this.lookAgain();
    const { state } = this;
    if (!state) {
      this.withdrawUnwatched([], nowMs);
      this.step([], nowMs);
      this.parts = null;
      const board = emptyBoard(nowMs, this.ports.clock.speed, this.ports.cookouts.sensorsHeard());
      this.newest = { ...board, alarms: this.alarms() };
      return;
    }
    const span = { nowMs, fromMs: nowMs - LOOK_BACK_MS };
    const trust = new ProbeTrust(this.ports.probes);
    const scene = setScene(state, span, {
      trackOf: (id) => trust.doubted(id, this.tracks.of(id, nowMs)),
      unpluggedSinceMs: (id) => this.ports.unpluggedSinceMs(id),
    });
    const places = judgePlaces(scene);
    const batches = judgeBatches(scene);
    const conditions = [...places, ...batches].flatMap((judged) => judged.conditions);
    this.withdrawUnwatched(conditions, nowMs);
    this.step(conditions, nowMs);
    this.parts = {
      scene,
      places,
      batches,
      alarms: this.alarms(),
      forecasts: this.forecasts,
      standingOf: (sensorId) => trust.standingOf(sensorId, nowMs),
      revision: this.revision,
    };
    this.newest = boardOf(this.parts, this.ports.clock.speed, this.ports.cookouts.sensorsHeard());
  }

  /** Reads the cookout again when something in it changed. */
  private lookAgain(): void {
    const revision = this.ports.cookouts.revision();
    if (revision === this.revision) return;
    this.state = this.ports.cookouts.current();
    this.revision = revision;
    this.seats = seatKinds(this.state);
    this.tracks.keepOnly(new Set(this.state?.seats.map((seat) => seat.sensorId)));
  }

  /** What a person ended is no longer watched: served and gone, thrown away, deleted, probe taken out, cookout over. */
  private withdrawUnwatched(conditions: readonly Condition[], nowMs: number): void {
    const watched = new Set(conditions.map((condition) => condition.key));
    const gone = this.open.filter(({ alarm, key }) => alarm.kind !== 'system' && !watched.has(key));
    const note = 'no longer watched';
    this.apply(gone.flatMap((memory) => withdrawAlarm({ memory, note, nowMs }) ?? []));
  }

  private step(conditions: readonly Condition[], nowMs: number): void {
    const all = [...conditions, ...this.systemConditions(nowMs)];
    const { changed, open } = evaluateAlarms({ conditions: all, open: this.open, nowMs });
    this.open = open;
    this.write(changed);
  }

  private systemConditions(nowMs: number): Condition[] {
    const storing = this.ports.isStoring() && this.unwritten.length === 0;
    this.storeFailedMs = storing ? null : (this.storeFailedMs ?? nowMs);
    const condition = (key: string, fault: 'watch' | 'store', sinceMs: number | null): Condition => ({
      key,
      kind: 'system',
      fault,
      cookoutId: null,
      verdict: sinceMs === null ? 'false' : 'true',
      sinceMs,
      clearSinceMs: sinceMs === null ? nowMs : null,
    });
    return [
      condition(WATCH_FAILED, 'watch', this.watchFailedMs),
      condition(STORE_FAILED, 'store', this.storeFailedMs),
    ];
  }

  private tellWatchFailed(nowMs: number): void {
    this.step([], nowMs);
    this.newest = { ...this.newest, alarms: this.alarms() };
  }

  private apply(changes: readonly AlarmChange[]): void {
    for (const { memory } of changes) {
      this.open = this.open.flatMap((m) =>
        m.alarm.id !== memory.alarm.id ? [m] : memory.alarm.state === 'normal' ? [] : [memory],
      );
    }
    this.write(changes);
  }

  /** An alarm is told even when it cannot be written down; that it cannot is an alarm itself, and is tried again. */
  private write(changes: readonly AlarmChange[]): void {
    this.unwritten.push(...changes);
    for (const { memory } of changes) this.ports.feed.alarm(memory.alarm);
    if (changes.length > 0) this.writeDown();
  }

  private writeDown(): void {
    try {
      for (let next = this.unwritten[0]; next; next = this.unwritten[0]) {
        this.ports.journal.record(next.memory, next.entry);
        this.unwritten.shift();
      }
    } catch (err: unknown) {
      this.ports.log.error({ err, waiting: this.unwritten.length }, 'the alarm journal cannot be written');
    }
  }
}

/** A pack in the order in which it was measured, so that nothing in it is late beside the rest. A counter may have begun anew. */
function asMeasured(readings: IncomingReading[]): IncomingReading[] {
  if (readings.length < 2 || readings.some((r) => r.timeSource === 'uptime')) return readings;
  return [...readings].sort((a, b) => a.atMs - b.atMs);
}

function gateStore(readings: ReadingStore): GateStore {
  return {
    newestMs: (sensorId) => readings.newestMs(sensorId),
    has: ({ sensorId, atMs, tempC }) => {
      const ms = Math.round(atMs);
      const countsC = readings.corrected(sensorId, ms, tempC);
      return readings.window(sensorId, ms, ms).some((kept) => Math.abs(kept.tempC - countsC) <= ROUNDING_C);
    },
  };
}
