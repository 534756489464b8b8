import type { Board, Row } from '../../server/contract/board.ts';
import { REASON, type IncomingReading } from '../../server/contract/reading.ts';
import type { StepKind } from '../../server/contract/steps.ts';
import type { AlarmMemory, Clock, CookoutState, Intake, ReadingStore } from '../../server/ports.ts';
import { QualityGate } from '../../server/ingest/gate/quality-gate.ts';
import { Runtime } from '../../server/runtime/runtime.ts';
import { UnpluggedChannels } from '../../server/runtime/unplugged.ts';
import { aBatch, aCookout, aDish, aPlace, MIN, T0 } from './cookouts.ts';
import { MemoryProbes } from './memory-probes.ts';
import { silentLog } from './silent-log.ts';

/** The whole tick without I/O: fakes of our own ports, time moved by hand. */
export class Evening {
  nowMs = T0;
  boards: Board[] = [];
  private revision = 1;
  private readonly kept: IncomingReading[] = [];
  readonly journal: AlarmMemory[] = [];
  readonly probes = new MemoryProbes();
  state: CookoutState | null = {
    cookout: aCookout(),
    places: [aPlace()],
    dishes: [aDish()],
    batches: [aBatch()],
    steps: [],
    spotChecks: [],
    seats: [
      { subjectKind: 'place', subjectId: 'bag', sensorId: 'bag-probe', fromMs: 0, toMs: null },
      { subjectKind: 'batch', subjectId: 'chicken-1', sensorId: 'core-probe', fromMs: 0, toMs: null },
    ],
  };
  readonly unplugged = new UnpluggedChannels();
  isStoring = true;
  isStoreBroken = false;
  isJournalBroken = false;
  runtime: Runtime;

  constructor() {
    this.runtime = this.restart();
  }

  /** A new process on the same data. */
  restart(): Runtime {
    const clock: Clock = { nowMs: () => this.nowMs, speed: 1 };
    const readings: ReadingStore = {
      commit: (intakes) => {
        if (this.isStoreBroken) throw new Error('disk full');
        const stored = intakes.flatMap((i) => i.readings);
        this.kept.push(...stored);
        return { stored, duplicates: 0 };
      },
      window: (...span) => this.keptOf(...span),
      watched: (...span) => this.keptOf(...span).filter((r) => (r.reasons & REASON.late) === 0),
      corrected: (_sensorId, _atMs, rawC) => rawC,
      newestMs: (sensorId) => this.keptOf(sensorId, -Infinity, Infinity).at(-1)?.atMs ?? null,
    };
    this.runtime = new Runtime({
      clock,
      readings,
      gate: new QualityGate(),
      cookouts: { current: () => this.state, revision: () => this.revision, sensorsHeard: () => 2 },
      journal: {
        openAlarms: () => {
          const newest = new Map(this.journal.map((m) => [m.alarm.id, m]));
          return [...newest.values()].filter((m) => m.alarm.state !== 'normal');
        },
        record: (memory) => {
          if (this.isJournalBroken) throw new Error('disk full');
          this.journal.push(memory);
        },
      },
      probes: this.probes,
      feed: { board: (b) => void this.boards.push(b), readings: () => undefined, alarm: () => undefined },
      log: silentLog,
      isStoring: () => this.isStoring,
      unpluggedSinceMs: (sensorId) => this.unplugged.sinceMs(sensorId),
    });
    return this.runtime;
  }

  private keptOf(sensorId: string, fromMs: number, toMs: number): IncomingReading[] {
    const kept = this.kept.filter((r) => r.sensorId === sensorId && r.atMs >= fromMs && r.atMs <= toMs);
    return kept.sort((a, b) => a.atMs - b.atMs);
  }

  hear(sensorId: string, tempC: number, over: Partial<IncomingReading> = {}): void {
    const reading: IncomingReading = {
      sensorId,
      tempC,
      atMs: this.nowMs,
      receivedMs: this.nowMs,
      quality: 1,
      reasons: 0,
      timeSource: 'device',
      nextWithinS: null,
      ...over,
    };
    const intake: Intake = { readings: [reading], sides: [], unplugged: [], rejects: [], delivery: null };
    this.unplugged.note([intake], this.runtime.take([intake]).stored);
  }

  /** Its channel says that nothing is plugged in. */
  unplug(sensorId: string): void {
    this.unplugged.note([{ unplugged: [{ sensorId, receivedMs: this.nowMs }] }], []);
  }

  step(step: StepKind, batchId = 'chicken-1'): void {
    const id = `s${this.revision}`;
    this.change((s) => ({
      ...s,
      steps: [...s.steps, { id, batchId, step, atMs: this.nowMs, zone: 'hot', placeId: null }],
    }));
  }
  change(how: (state: CookoutState) => CookoutState | null): void {
    this.state = this.state ? how(this.state) : null;
    this.revision += 1;
  }

  /** Minutes during which the bag reads `bagC(minute)` every ten seconds, with a tick at each. */
  pass(
    minutes: number,
    bagC: ((min: number) => number) | null,
    coreC: ((min: number) => number) | null = null,
  ): void {
    const fromMs = this.nowMs;
    while (this.nowMs < fromMs + minutes * MIN) {
      this.nowMs += 10_000;
      const min = (this.nowMs - T0) / MIN;
      if (bagC) this.hear('bag-probe', bagC(min));
      if (coreC) this.hear('core-probe', coreC(min));
      this.runtime.tick();
    }
  }
  row(id: string): Row {
    const row = this.boards.at(-1)?.rows.find((r) => r.id === id);
    if (!row) throw new Error(`no row ${id}`);
    return row;
  }
  get board(): Board {
    const board = this.boards.at(-1);
    if (!board) throw new Error('no board yet');
    return board;
  }
}
