import type { ReadingsEvent } from '../contract/live-events.ts';
import type { IncomingReading } from '../contract/reading.ts';

type Newest = ReadingsEvent[number];

/** Newest value per sensor since the last look: a slow screen gets that, not a queue. */
export class Latest {
  private readonly changed = new Map<string, Newest>();
  private readonly newestMs = new Map<string, number>();

  add(stored: readonly IncomingReading[]): void {
    for (const { sensorId, tempC, atMs, quality } of stored) {
      if (atMs < (this.newestMs.get(sensorId) ?? -Infinity)) continue; // late: history, not news
      this.newestMs.set(sensorId, atMs);
      this.changed.set(sensorId, { sensorId, tempC, atMs, quality });
    }
  }

  take(): ReadingsEvent {
    const readings = [...this.changed.values()];
    this.changed.clear();
    return readings;
  }
}
