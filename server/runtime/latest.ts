import type { ReadingsEvent } from '../contract/live-events.ts';
import { REASON, type IncomingReading } from '../contract/reading.ts';
import type { ReadingStore } from '../ports.ts';

type Newest = ReadingsEvent[number];

/** Newest value per sensor since the last look: a slow screen gets that, not a queue. */
export class Latest {
  private readonly store: ReadingStore;
  private readonly changed = new Map<string, Newest>();

  constructor(store: ReadingStore) {
    this.store = store;
  }

  add(stored: readonly IncomingReading[]): void {
    for (const { sensorId, tempC, atMs, quality, reasons } of stored) {
      if ((reasons & REASON.late) !== 0) continue; // history, not news
      const correctedC = this.store.corrected(sensorId, atMs, tempC);
      this.changed.set(sensorId, { sensorId, tempC: correctedC, atMs, quality });
    }
  }

  take(): ReadingsEvent {
    const readings = [...this.changed.values()];
    this.changed.clear();
    return readings;
  }
}
