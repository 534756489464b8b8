import type { IncomingReading } from '../contract/reading.ts';

/** Readings without a time of their own that arrive in the same millisecond are told apart by one more. */
export class Arrivals {
  private readonly lastMs = new Map<string, number>();

  spread(reading: IncomingReading): IncomingReading {
    if (reading.timeSource !== 'arrival') return reading;
    const lastMs = this.lastMs.get(reading.sensorId) ?? -Infinity;
    const atMs = Math.max(reading.atMs, lastMs + 1);
    this.lastMs.set(reading.sensorId, atMs);
    return { ...reading, atMs };
  }
}
