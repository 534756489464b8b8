import {
  REASON,
  type IncomingReading,
  type Reject,
  type RejectReason,
  type SideReading,
  type Unplugged,
} from '../contract/reading.ts';

export type Message = {
  topic: string;
  payload: Uint8Array;
  receivedMs: number;
  retained: boolean;
  /** Of MQTT 5; a client of MQTT 3.1.1 has none. */
  userProperties?: Readonly<Record<string, string | string[]>>;
};
export type Decoded = {
  readings: IncomingReading[];
  sides: SideReading[];
  unplugged: Unplugged[];
  rejects: Reject[];
};
/** A temperature as a payload gives it. `atMs` null: the payload says nothing of when. */
export type Measured = {
  sensorId: string;
  tempC: number;
  atMs: number | null;
  timeSource: IncomingReading['timeSource'];
  nextWithinS?: number | null;
};
/** A number beside the temperature as a payload gives it. `atMs` null: the payload says nothing of when. */
export type Beside = Omit<SideReading, 'atMs' | 'receivedMs'> & { atMs: number | null };
export type Failure = { reason: RejectReason; detail: string };

/** A pack of a whole hour fits; a picture or a log file does not. */
export const MAX_PAYLOAD_BYTES = 8_192;
const KEPT_BYTES = 200;
const KEPT_TOPIC = 200;
const KEPT_DETAIL = 200;
/** Absolute bounds of anything that a kitchen probe or a fire can be, degC. */
const MIN_C = -60;
const MAX_C = 1_200;
const FULL_BATTERY_PERCENT = 100;
/** The last moment on either side of 1970 that a date can name, ms: ECMA-262 (2023) section 21.4.1.1. */
const LAST_DATE_MS = 8.64e15;

/**
 * A temperature that arrived in a message, or why it is none. Without a time of its own it was measured on arrival,
 * unless the broker had kept it: an old retained value must not pass for a live one. An age in a retained message counts from
 * a moment that nobody knows, so that it does not help.
 */
export function readingOf(measured: Measured, message: Message): IncomingReading | Failure {
  const { sensorId, tempC, nextWithinS } = measured;
  const { receivedMs, retained } = message;
  if (!(tempC >= MIN_C && tempC <= MAX_C))
    return { reason: 'out-of-range', detail: `${sensorId}: ${tempC} °C` };
  const atMs = Math.round(measured.atMs ?? receivedMs);
  if (!isDate(atMs)) return { reason: 'bad-time', detail: `${sensorId}: ${atMs} ms` };
  const timeSource = measured.atMs === null ? 'arrival' : measured.timeSource;
  const isOld = retained && timeSource !== 'device';
  return {
    sensorId,
    // adding zero turns a negative zero into a plain one
    tempC: Math.round(tempC * 100) / 100 + 0,
    atMs,
    receivedMs,
    quality: isOld ? 3 : 1,
    reasons: isOld ? REASON.retained : 0,
    timeSource,
    nextWithinS: nextWithinS ?? null,
  };
}

/** A number beside the temperature that arrived in a message, or why it is none. */
export function sideOf(beside: Beside, { receivedMs }: Message): SideReading | Failure {
  const { sensorId, quantity, value } = beside;
  if (!Number.isFinite(value)) return { reason: 'not-finite', detail: `${sensorId}: ${quantity}` };
  if (quantity === 'battery' && !(value >= 0 && value <= FULL_BATTERY_PERCENT))
    return { reason: 'out-of-range', detail: `${sensorId}: battery ${value} %` };
  const atMs = Math.round(beside.atMs ?? receivedMs);
  if (!isDate(atMs)) return { reason: 'bad-time', detail: `${sensorId}: ${atMs} ms` };
  return { ...beside, atMs, receivedMs };
}

function isDate(atMs: number): boolean {
  return Math.abs(atMs) <= LAST_DATE_MS;
}

/** A message, or a part of it, that could not be understood, cut to what a person needs to see. */
export function rejectOf({ reason, detail }: Failure, { topic, receivedMs, payload }: Message): Reject {
  return {
    topic: shown(topic, KEPT_TOPIC),
    receivedMs,
    reason,
    detail: shown(detail, KEPT_DETAIL),
    // a copy: a view would keep the whole packet in memory
    payload: Uint8Array.from(payload.subarray(0, KEPT_BYTES)),
  };
}

/** The beginning of a text from outside, with a mark for what cannot be shown: control characters and halves of pairs. */
function shown(text: string, length: number): string {
  return text.slice(0, length).replace(/[\p{Cc}\p{Cs}]/gu, '\u{FFFD}');
}
