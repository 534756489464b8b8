import type { IncomingReading } from '../contract/reading.ts';

/** OURS: a device's time that is no further from its arrival than this is kept as it is, ms; so says the gate too. */
const RIGHT_WITHIN_MS = 2_000;
/** OURS: more sensors than the server takes. */
const KEPT = 2_000;

/**
 * Which sensors have told a time that was off. The time of their readings may be moved before they are stored, also of
 * those that are right again, and how depends on what came before: it is not the same when a message comes a second time.
 */
export class OffClocks {
  private readonly sensors = new Set<string>();

  /** Whether the time of a reading with a time of its own may be moved. To be asked of each reading as it comes. */
  mayMove({ sensorId, atMs, receivedMs }: IncomingReading): boolean {
    if (this.sensors.has(sensorId)) return true;
    const isRight = Math.abs(receivedMs - atMs) <= RIGHT_WITHIN_MS;
    if (!isRight && this.sensors.size < KEPT) this.sensors.add(sensorId);
    return !isRight || this.sensors.size >= KEPT;
  }
}
