import { REASON, type IncomingReading, type Reading } from '../contract/reading.ts';
import type { ReadingStore, Seat } from '../ports.ts';

/** How far back the live watch looks, ms: longer than any cookout with a joint that cooks overnight. */
export const LOOK_BACK_MS = 20 * 3_600_000;

/**
 * The corrected readings of the sensors in use, ascending in time, kept beside the store and rebuilt from it after a restart.
 * What came late is history: it changes no alarm that was told, so it is not among them.
 */
export class Tracks {
  private readonly store: ReadingStore;
  private readonly bySensor = new Map<string, Reading[]>();

  constructor(store: ReadingStore) {
    this.store = store;
  }

  /** Readings of one sensor up to now; read from the store the first time it is asked for. */
  of(sensorId: string, nowMs: number): readonly Reading[] {
    const known = this.bySensor.get(sensorId);
    if (known) return withoutOld(known, nowMs - LOOK_BACK_MS);
    const readings = this.store.watched(sensorId, nowMs - LOOK_BACK_MS, Number.MAX_SAFE_INTEGER);
    this.bySensor.set(sensorId, readings);
    return readings;
  }

  add(stored: readonly IncomingReading[]): void {
    for (const { sensorId, atMs, tempC, quality, reasons } of stored) {
      const track = this.bySensor.get(sensorId);
      if (!track || (reasons & REASON.late) !== 0) continue;
      insertInOrder(track, { atMs, tempC: this.store.corrected(sensorId, atMs, tempC), quality });
    }
  }

  /** Keeps only the sensors that are still in use. */
  keepOnly(sensorIds: ReadonlySet<string>): void {
    for (const id of this.bySensor.keys()) if (!sensorIds.has(id)) this.bySensor.delete(id);
  }
}

/** So many readings that nobody looks at any more are dropped together, to keep it cheap. */
const OLD_KEPT = 5_000;

function withoutOld(track: Reading[], fromMs: number): Reading[] {
  const old = firstAtOrAfter(track, fromMs);
  if (old > OLD_KEPT) track.splice(0, old);
  return track;
}

function insertInOrder(track: Reading[], reading: Reading): void {
  const last = track.at(-1);
  if (!last || last.atMs < reading.atMs) {
    track.push(reading);
    return;
  }
  const at = firstAtOrAfter(track, reading.atMs);
  if (track[at]?.atMs !== reading.atMs) track.splice(at, 0, reading);
}

/** Index of the first reading at or after a moment; the length when there is none. */
export function firstAtOrAfter(track: readonly Reading[], atMs: number): number {
  let low = 0;
  let high = track.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if ((track[middle]?.atMs ?? Infinity) < atMs) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** What a probe in food, a cooler or a pot can read, degC: fail spans of the QARTOD gross range test, values OURS. */
const CREDIBLE_C = { batch: [-30, 130], place: [-30, 500] } as const;

/**
 * A value that cannot be true counts as failed (4). The gate says so of most when they come, but by the seat that the probe
 * had then: one that was given its seat afterwards is judged here.
 */
function grossChecked(kind: Seat['subjectKind'], reading: Reading): Reading {
  const [lowC, highC] = CREDIBLE_C[kind];
  return reading.tempC >= lowC && reading.tempC <= highC ? reading : { ...reading, quality: 4 };
}

export type SubjectReadings = { sensorId: string; readings: Reading[] };

/** What the probes of one subject read while they sat there, within a span; one entry a sensor. */
export function readingsOf(
  subject: { kind: Seat['subjectKind']; id: string },
  span: { fromMs: number; toMs: number },
  seats: readonly Seat[],
  trackOf: (sensorId: string) => readonly Reading[],
): SubjectReadings[] {
  const mine = seats.filter((s) => s.subjectKind === subject.kind && s.subjectId === subject.id);
  const found = new Map<string, Reading[]>();
  for (const seat of mine) {
    const fromMs = Math.max(seat.fromMs, span.fromMs);
    const toMs = Math.min(seat.toMs ?? Infinity, span.toMs);
    const track = trackOf(seat.sensorId);
    const part = track.slice(firstAtOrAfter(track, fromMs), firstAtOrAfter(track, toMs + 1));
    const list = found.get(seat.sensorId) ?? [];
    // one by one: an evening at two readings a second is more than a call takes arguments
    for (const reading of part) list.push(grossChecked(subject.kind, reading));
    found.set(seat.sensorId, list);
  }
  return [...found].map(([sensorId, readings]) => ({ sensorId, readings }));
}
