import { REASON, type IncomingReading } from '../contract/reading.ts';

/** A device that is further ahead of the server than this has a wrong clock, ms. OURS; a later issue measures offsets. */
export const FUTURE_TOLERANCE_MS = 5_000;
/** Readings older than this are history of another day, ms. OURS. */
export const OLDEST_MS = 24 * 3_600_000;
/** Boards without a clock start at 1970 or at their build date: before this there is no time at all. */
const NO_CLOCK_BEFORE_MS = Date.UTC(2020, 0, 1);

/**
 * Decides at which moment a reading counts, and how far its time is believed.
 *
 * @param reading  as decoded; `atMs` epoch ms from the payload or the moment of arrival
 * @param nowMs  epoch ms, server
 * @returns the reading with the time of arrival where its own time cannot be true (suspect, so that it may raise an
 *   alarm but never clear one), or with its own time and a suspect flag where it is very old
 */
export function admit(reading: IncomingReading, nowMs: number): IncomingReading {
  if (reading.timeSource === 'arrival') return reading;
  if (reading.atMs < NO_CLOCK_BEFORE_MS) {
    return {
      ...reading,
      atMs: reading.receivedMs,
      timeSource: 'arrival',
      reasons: reading.reasons | REASON.clock,
    };
  }
  if (reading.atMs > nowMs + FUTURE_TOLERANCE_MS) {
    return {
      ...reading,
      atMs: reading.receivedMs,
      timeSource: 'arrival',
      quality: worse(reading.quality),
      reasons: reading.reasons | REASON.clock,
    };
  }
  if (reading.atMs < nowMs - OLDEST_MS) {
    return { ...reading, quality: worse(reading.quality), reasons: reading.reasons | REASON.clock };
  }
  return reading;
}

function worse(quality: IncomingReading['quality']): IncomingReading['quality'] {
  return quality < 3 ? 3 : quality;
}
