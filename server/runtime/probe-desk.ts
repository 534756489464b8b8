import type {
  CheckAnswer,
  Correction,
  CorrectionInput,
  ProbeCheck,
  ProbeCheckInput,
  ProbeHistory,
  SensorView,
} from '../contract/probe.ts';
import type { Clock, CookoutStore, ProbeBook, ReadingStore, SensorRow } from '../ports.ts';
import { judgeCheck, readingForCheck } from '../safety/probe-check.ts';
import { beginsMs, correctionFrom, offersAfter } from '../safety/probe-correction.ts';
import { standingOf } from '../safety/probe-standing.ts';
import { FUTURE_TOLERANCE_MS } from '../safety/samples.ts';

/** How far back a check looks: far enough to know how often a slow probe sends. OURS. */
const LOOK_BACK_MS = 3_600_000;

type DeskPorts = {
  book: ProbeBook;
  readings: Pick<ReadingStore, 'watched' | 'corrected'>;
  cookouts: Pick<CookoutStore, 'current'>;
  clock: Clock;
  newId: () => string;
};
type Refused = { kind: 'refused'; field: string; why: string };
type Outcome<T> = { kind: 'done'; value: T } | Refused;
type Taken = Pick<ProbeCheck, 'atMs' | 'rawC' | 'readC'>;
/** A sensor as far as a check needs it. */
type CheckedSensor = Pick<SensorRow, 'id' | 'last' | 'lastRawC' | 'lastReasons'>;

const refused = (field: string, why: string): Refused => ({ kind: 'refused', field, why });

/** Where probes are checked and corrected. What it has read of the book stays in memory: every tick asks for it. */
export class ProbeDesk {
  private readonly ports: DeskPorts;
  private readonly known = new Map<string, ProbeHistory>();

  constructor(ports: DeskPorts) {
    this.ports = ports;
  }

  history(sensorId: string): ProbeHistory {
    const known = this.known.get(sensorId) ?? this.ports.book.history(sensorId);
    this.known.set(sensorId, known);
    return known;
  }

  /** What is known of a probe now. */
  stateOf(sensorId: string): Pick<SensorView, 'standing' | 'lastCheck' | 'correction'> {
    const nowMs = this.ports.clock.nowMs();
    const history = this.history(sensorId);
    const correction = this.ports.book.correctionAt(sensorId, nowMs);
    return {
      standing: standingOf(history, nowMs),
      lastCheck: history.checks.reduce<ProbeCheck | null>((a, b) => (a && a.atMs > b.atMs ? a : b), null),
      correction: correction?.kind === 'none' ? null : correction,
    };
  }

  /** Judges what a probe reads, keeps it, and says which corrections it allows. */
  check(sensor: CheckedSensor, input: ProbeCheckInput): Outcome<CheckAnswer> {
    const { book, clock, cookouts, newId } = this.ports;
    const taken = this.take(sensor, input);
    if (taken.kind === 'refused') return taken;
    const altitudeM = input.altitudeM ?? cookouts.current()?.cookout.altitudeM ?? null;
    const judged = judgeCheck({ kind: input.kind, readC: taken.value.readC, altitudeM });
    if (judged.kind === 'cannot') return refused('altitudeM', judged.why);
    const check: ProbeCheck = {
      id: newId(),
      sensorId: sensor.id,
      kind: input.kind,
      ...taken.value,
      expectedC: judged.expectedC,
      windowC: judged.windowC,
      altitudeM: judged.altitudeM,
      outcome: judged.outcome,
    };
    book.addCheck(check);
    this.known.delete(sensor.id);
    const offered = offersAfter(check, this.history(sensor.id), clock.nowMs());
    return { kind: 'done', value: { check, ...offered } };
  }

  /** Corrects a probe from the next whole minute on. */
  correct(sensorId: string, input: CorrectionInput): Outcome<Correction> {
    const { book, clock, newId } = this.ports;
    const nowMs = clock.nowMs();
    const history = this.history(sensorId);
    const result = correctionFrom(history, input, nowMs);
    if (result.kind === 'refused') return refused('checkIds', result.why);
    const { gain, offsetC } = result;
    const fromMs = beginsMs(history.corrections, nowMs);
    const correction: Correction = { id: newId(), sensorId, ...input, fromMs, gain, offsetC };
    book.addCorrection(correction);
    this.known.delete(sensorId);
    return { kind: 'done', value: correction };
  }

  /** What the person typed, else the newest reading when it can be taken. */
  private take(
    { id, last, lastRawC, lastReasons }: CheckedSensor,
    { readC }: ProbeCheckInput,
  ): Outcome<Taken> {
    const { readings, clock } = this.ports;
    const nowMs = clock.nowMs();
    if (readC !== undefined) {
      const value = { atMs: nowMs, rawC: readC, readC: readings.corrected(id, nowMs, readC) };
      return { kind: 'done', value };
    }
    const recent = readings.watched(id, nowMs - LOOK_BACK_MS, nowMs + FUTURE_TOLERANCE_MS);
    const taken = readingForCheck({ readings: recent, newestReasons: lastReasons, nowMs });
    if (taken.kind === 'cannot') return refused('readC', taken.why);
    const { atMs, tempC } = taken.reading;
    // the list of sensors tells what the newest one was as sent, and why it was flagged: it has to be the same one
    if (lastRawC === null || last?.atMs !== atMs)
      return refused('readC', 'its newest reading is not of this moment: type what it reads');
    return { kind: 'done', value: { atMs, rawC: lastRawC, readC: tempC } };
  }
}
