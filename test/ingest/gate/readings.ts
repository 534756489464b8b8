import type { IncomingReading } from '../../../server/contract/reading.ts';
import { aReading as incoming } from '../../store/builders.ts';
import { QualityGate } from '../../../server/ingest/gate/quality-gate.ts';
import type { GateStore, SeatKind } from '../../../server/ports.ts';

export const NOW_MS = 1_760_000_000_000;

export function aReading(tempC: number, atMs: number, over: Partial<IncomingReading> = {}): IncomingReading {
  return incoming({ tempC, atMs, ...over });
}

/** A store of one sensor, which keeps what it is given. */
export class Kept implements GateStore {
  readonly byTime = new Map<number, IncomingReading>();

  newestMs(): number | null {
    return this.byTime.size === 0 ? null : Math.max(...this.byTime.keys());
  }
  has({ atMs, tempC }: IncomingReading): boolean {
    return this.byTime.get(atMs)?.tempC === tempC;
  }
  /** False when there is one of that time. */
  add(reading: IncomingReading): boolean {
    if (this.byTime.has(reading.atMs)) return false;
    this.byTime.set(reading.atMs, reading);
    return true;
  }
}

/** A gate that is given one sensor's readings one after another; each is stored at once. */
export class Heard {
  gate = new QualityGate();
  readonly store = new Kept();
  nowMs = NOW_MS;
  seat: SeatKind | null;
  readonly everyMs: number;

  constructor(seat: SeatKind | null = 'core', everyMs = 10_000) {
    this.seat = seat;
    this.everyMs = everyMs;
  }

  take(reading: IncomingReading): IncomingReading {
    const admitted = this.admit(reading);
    this.gate.stored(this.store.add(admitted) ? [admitted] : []);
    return admitted;
  }

  /** Of a message that was sent before, and is known to the store by its mark or not. */
  takeAgain(reading: IncomingReading, { isMarked }: { isMarked: boolean }): IncomingReading {
    const admitted = this.admit(reading, true);
    this.gate.stored(!isMarked && this.store.add(admitted) ? [admitted] : []);
    return admitted;
  }

  /** The disk fails: they are judged, and nobody has them. */
  lose(...readings: readonly IncomingReading[]): IncomingReading[] {
    const admitted = readings.map((reading) => this.admit(reading));
    this.gate.takeBack();
    return admitted;
  }

  admit(reading: IncomingReading, isRepeat = false): IncomingReading {
    return this.gate.admit(reading, { seat: this.seat, isRepeat, store: this.store });
  }

  /** A new process on what was stored. */
  restart(): void {
    this.gate = new QualityGate();
  }

  /** The next one, in time and at once. */
  next(tempC: number, over: Partial<IncomingReading> = {}): IncomingReading {
    this.nowMs += this.everyMs;
    return this.take(aReading(tempC, this.nowMs, over));
  }

  row(...temperatures: readonly number[]): IncomingReading[] {
    return temperatures.map((tempC) => this.next(tempC));
  }
}

export const qualities = (readings: readonly IncomingReading[]): number[] => readings.map((r) => r.quality);
