import { signal } from '@preact/signals';
import type { ReadingsEvent } from '../server/contract/live-events.ts';

export type NewestReadings = ReadonlyMap<string, ReadingsEvent[number]>;

/** The newest pushed reading of every sensor, seated or not. */
export const newestReadings = signal<NewestReadings>(new Map());

/** What is newest after a push; what comes late changes nothing. Pure. */
export function withPushed(known: NewestReadings, pushed: ReadingsEvent): NewestReadings {
  const next = new Map(known);
  for (const reading of pushed) {
    const before = next.get(reading.sensorId);
    if (before === undefined || reading.atMs >= before.atMs) next.set(reading.sensorId, reading);
  }
  return next;
}
