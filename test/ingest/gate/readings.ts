import type { IncomingReading } from '../../../server/contract/reading.ts';
import { QualityGate } from '../../../server/ingest/gate/quality-gate.ts';
import type { SeatKind } from '../../../server/ports.ts';

export const NOW_MS = 1_760_000_000_000;

export function aReading(tempC: number, atMs: number, over: Partial<IncomingReading> = {}): IncomingReading {
  return {
    sensorId: 'left',
    tempC,
    atMs,
    receivedMs: atMs,
    quality: 1,
    reasons: 0,
    timeSource: 'device',
    nextWithinS: null,
    ...over,
  };
}

/** A gate that is given one sensor's readings one after another. */
export class Heard {
  readonly gate = new QualityGate();
  nowMs = NOW_MS;
  seat: SeatKind | null;
  readonly everyMs: number;

  constructor(seat: SeatKind | null = 'core', everyMs = 10_000) {
    this.seat = seat;
    this.everyMs = everyMs;
  }

  take(reading: IncomingReading): IncomingReading {
    return this.gate.admit(reading, { nowMs: this.nowMs, seat: this.seat });
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
