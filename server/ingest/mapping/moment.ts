import type { TimeSpec } from '../../contract/mapping.ts';
import { payloadTimeMs } from '../payload-time.ts';
import { localTimeMs } from './local-time.ts';
import { numberOfText } from './number-text.ts';

/** When a message says that it was measured. For `uptime`, `atMs` is the count since the device was switched on. */
export type Moment = { atMs: number; timeSource: 'device' | 'age' | 'uptime' };
type Form = Exclude<TimeSpec['as'], 'arrival' | 'local'>;

const SECOND_MS = 1000;
/** Seconds, milliseconds and microseconds since 1970 cannot be confused between these bounds (1973 to 5138). */
const AUTO_FROM_S = 1e8;
const AUTO_TO_S = 1e11;
const LATEST_MS = AUTO_TO_S * SECOND_MS;
/** OURS: a year. What is older than that is no age of a reading, but another kind of time. */
const MAX_AGE_MS = 366 * 86_400_000;
/** OURS: about three years. Counters of 32 bits wrap after 49.7 days; a time since 1970 is far beyond. */
const MAX_UPTIME_MS = 1e11;

/**
 * The moment that a time field means.
 *
 * @param value  what the payload has there: a number, or a text
 * @param receivedMs  epoch ms of arrival, from which an age is counted back
 * @returns the moment, or null when the field cannot be read in this form
 */
export function momentOf(
  spec: Exclude<TimeSpec, { as: 'arrival' }>,
  value: unknown,
  receivedMs: number,
): Moment | null {
  if (spec.as === 'local' || spec.as === 'rfc3339') {
    if (typeof value !== 'string') return null;
    return device(spec.as === 'local' ? localTimeMs(value, spec.zone) : payloadTimeMs(value));
  }
  const number = typeof value === 'string' ? numberOfText(value, '.') : value;
  if (typeof number !== 'number' || !Number.isFinite(number) || number < 0) return null;
  return byNumber(spec.as, number, receivedMs);
}

function byNumber(form: Exclude<Form, 'rfc3339'>, number: number, receivedMs: number): Moment | null {
  switch (form) {
    case 'epoch-s':
      return device(number * SECOND_MS);
    case 'epoch-ms':
      return device(number);
    case 'epoch-us':
      return device(number / SECOND_MS);
    case 'auto-epoch':
      return device(autoEpochMs(number));
    case 'age-s':
      return age(number * SECOND_MS, receivedMs);
    case 'age-ms':
      return age(number, receivedMs);
    case 'uptime-s':
      return uptime(number * SECOND_MS);
    case 'uptime-ms':
      return uptime(number);
  }
}

/** Epoch ms of a number of seconds, milliseconds or microseconds by its size; null when it is none of them. */
export function autoEpochMs(number: number): number | null {
  for (const perSecond of [1, 1e3, 1e6]) {
    if (number >= AUTO_FROM_S * perSecond && number < AUTO_TO_S * perSecond)
      return Math.round((number / perSecond) * SECOND_MS);
  }
  return null;
}

function device(atMs: number | null): Moment | null {
  return atMs !== null && atMs < LATEST_MS ? { atMs: Math.round(atMs), timeSource: 'device' } : null;
}
function age(ageMs: number, receivedMs: number): Moment | null {
  return ageMs <= MAX_AGE_MS ? { atMs: Math.round(receivedMs - ageMs), timeSource: 'age' } : null;
}
function uptime(countMs: number): Moment | null {
  return countMs <= MAX_UPTIME_MS ? { atMs: Math.round(countMs), timeSource: 'uptime' } : null;
}
