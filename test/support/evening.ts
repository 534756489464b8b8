import type { Board, Row } from '../../server/contract/board.ts';
import type { IncomingReading } from '../../server/contract/reading.ts';
import type { StepKind } from '../../server/contract/steps.ts';
import type { AlarmMemory, Clock, CookoutState, Intake, ReadingStore } from '../../server/ports.ts';
import { Runtime } from '../../server/runtime/runtime.ts';
import { aBatch, aCookout, aDish, aPlace, MIN, T0 } from './cookouts.ts';
import { silentLog } from './silent-log.ts';

/** The whole tick without I/O: fakes of our own ports, time moved by hand. */
export class Evening {
  nowMs = T0;
  boards: Board[] = [];
  private revision = 1;
  private readonly kept: IncomingReading[] = [];
  readonly journal: AlarmMemory[] = [];
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
  isStoring = true;
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
        const stored = intakes.flatMap((i) => i.readings);
        this.kept.push(...stored);
        return { stored, duplicates: 0 };
      },
      window: (sensorId, fromMs, toMs) =>
        this.kept.filter((r) => r.sensorId === sensorId && r.atMs >= fromMs && r.atMs <= toMs),
    };
    this.runtime = new Runtime({
      clock,
      readings,
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
      feed: { board: (b) => void this.boards.push(b), readings: () => undefined, alarm: () => undefined },
      log: silentLog,
      isStoring: () => this.isStoring,
    });
    return this.runtime;
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
      ...over,
    };
    const intake: Intake = { readings: [reading], rejects: [], delivery: null };
    this.runtime.take([intake]);
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
