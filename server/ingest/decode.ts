import {
  ReadingPayloadSchema,
  REASON,
  SENSOR_ID_PATTERN,
  type IncomingReading,
  type Unplugged,
} from '../contract/reading.ts';
import { celsiusOf } from './convert/units.ts';
import { isCborTooDeep, isJsonTooDeep, MAX_DEPTH } from './json-depth.ts';
import { isObject } from './mapping/json-pointer.ts';
import { saysNothing } from './mapping/number-value.ts';
import {
  MAX_PAYLOAD_BYTES,
  readingOf,
  rejectOf,
  type Decoded,
  type Failure,
  type Message,
} from './message.ts';
import { payloadTimeMs } from './payload-time.ts';
import { senmlFromCbor } from './senml-cbor.ts';
import { readSenml } from './senml-readings.ts';

export type { Decoded, Message } from './message.ts';

export const READING_TOPIC = 'tongside/reading/';
export const SENML_TOPIC = 'tongside/senml';
export const TOPIC_FILTERS = [`${READING_TOPIC}#`, `${SENML_TOPIC}/#`];

/** No two parts of it can share digits, so that a long text of digits is refused in linear time. */
const NUMBER = /^[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?$/;
const JSON_START = /^[[{"]/;
/** A CBOR array, of definite or indefinite length, begins with one of these; no UTF-8 text does. RFC 8949 appendix B. */
const CBOR_ARRAY_FROM = 0x80;
const CBOR_ARRAY_TO = 0x9f;
const SHOWN = 40;

type OnOwnTopic = IncomingReading | Failure | { unplugged: Unplugged[] };
type Found = OnOwnTopic | ReturnType<typeof readSenml>;

/** Whether a topic is for SenML packs, which any number of devices may share. */
export function isSenmlTopic(topic: string): boolean {
  return topic === SENML_TOPIC || topic.startsWith(`${SENML_TOPIC}/`);
}

/** One message on a built-in topic to readings and rejects. Never throws, whatever the bytes are. */
export function decode(message: Message): Decoded {
  const found = read(message);
  if ('reason' in found)
    return { readings: [], sides: [], unplugged: [], rejects: [rejectOf(found, message)] };
  if ('sensorId' in found) return { readings: [found], sides: [], unplugged: [], rejects: [] };
  if ('unplugged' in found) return { readings: [], sides: [], unplugged: found.unplugged, rejects: [] };
  const { readings, sides, failures } = found;
  return { readings, sides, unplugged: [], rejects: failures.map((failure) => rejectOf(failure, message)) };
}

function read(message: Message): Found {
  const { topic, payload } = message;
  const isForPacks = isSenmlTopic(topic);
  if (!isForPacks && !topic.startsWith(READING_TOPIC)) {
    return { reason: 'unknown-topic', detail: `readings go to ${READING_TOPIC}<sensor>` };
  }
  const sensorId = isForPacks ? null : topic.slice(READING_TOPIC.length);
  if (sensorId !== null && !SENSOR_ID_PATTERN.test(sensorId)) {
    return { reason: 'bad-name', detail: 'a sensor name has letters, digits and - : . / _' };
  }
  if (payload.length === 0) return { reason: 'empty', detail: 'no payload' };
  if (payload.length > MAX_PAYLOAD_BYTES) return { reason: 'too-large', detail: `${payload.length} bytes` };
  const text = textOf(payload);
  if (text === null) return fromCbor(message, sensorId);
  if (text === '') return { reason: 'empty', detail: 'only blanks' };
  if (sensorId !== null && !JSON_START.test(text)) return bareNumber(text, sensorId, message);
  return fromJson(text, message, sensorId);
}

const utf8 = new TextDecoder('utf-8', { fatal: true });

function textOf(payload: Uint8Array): string | null {
  try {
    return utf8.decode(payload).trim();
  } catch {
    return null; // bytes that are not UTF-8: CBOR, or an expected kind of bad input
  }
}

/** What the broker had kept, without a date, may be from any day: it does not say that nothing is plugged in now. */
function unpluggedOf(sensorId: string, { receivedMs, retained }: Message, time?: unknown): OnOwnTopic {
  const isOld = retained && payloadTimeMs(time) === null;
  return { unplugged: isOld ? [] : [{ sensorId, receivedMs }] };
}

function bareNumber(text: string, sensorId: string, message: Message): OnOwnTopic {
  if (text === 'null' || saysNothing(text)) return unpluggedOf(sensorId, message);
  if (!NUMBER.test(text)) return notANumber(text);
  const tempC = Number(text);
  if (!Number.isFinite(tempC)) return { reason: 'not-finite', detail: text.slice(0, SHOWN) };
  return readingOf({ sensorId, tempC, atMs: null, timeSource: 'arrival' }, message);
}

function notANumber(text: string): Failure {
  if (/^(true|false)$/.test(text)) return { reason: 'wrong-json-type', detail: text };
  return { reason: 'not-a-number', detail: text.slice(0, SHOWN) };
}

function fromJson(text: string, message: Message, sensorId: string | null): Found {
  if (isJsonTooDeep(text)) return tooDeep();
  let json: unknown;
  try {
    json = JSON.parse(text);
  } catch {
    return { reason: 'not-a-number', detail: 'neither a number nor JSON' };
  }
  if (Array.isArray(json)) return readSenml(json, message, sensorId);
  if (sensorId === null) return { reason: 'bad-senml', detail: 'a SenML pack is an array' };
  return fromObject(json, message, sensorId);
}

function tooDeep(): Failure {
  return { reason: 'too-deep', detail: `nested more than ${MAX_DEPTH} deep` };
}

function fromCbor(message: Message, sensorId: string | null): Found {
  const first = message.payload[0] ?? 0;
  if (first < CBOR_ARRAY_FROM || first > CBOR_ARRAY_TO)
    return { reason: 'not-a-number', detail: 'neither text nor a CBOR array' };
  if (isCborTooDeep(message.payload)) return tooDeep();
  const cbor = senmlFromCbor(message.payload);
  if ('refusal' in cbor) return { reason: 'bad-senml', detail: cbor.refusal };
  return readSenml(cbor.pack, message, sensorId);
}

function fromObject(json: unknown, message: Message, sensorId: string): OnOwnTopic {
  if (saysNothing(json)) return unpluggedOf(sensorId, message);
  if (isObject(json) && saysNothing(json['value'])) return unpluggedOf(sensorId, message, json['time']);
  const parsed = ReadingPayloadSchema.safeParse(json);
  if (!parsed.success) {
    if (hasInfiniteValue(json)) return { reason: 'not-finite', detail: 'value' };
    const issue = parsed.error.issues[0];
    return {
      reason: 'wrong-json-type',
      detail: issue ? `${issue.path.join('.') || 'payload'}: ${issue.message}` : '',
    };
  }
  const { value, unit, time } = parsed.data;
  const tempC = celsiusOf(value, unit ?? 'Cel');
  if (tempC === null) return { reason: 'unknown-unit', detail: `unit: ${(unit ?? '').slice(0, SHOWN)}` };
  const atMs = payloadTimeMs(time);
  const reading = readingOf({ sensorId, tempC, atMs, timeSource: 'device' }, message);
  const isClockBad = atMs === null && time !== undefined && time !== null;
  if (!isClockBad || 'reason' in reading) return reading;
  return { ...reading, quality: 3, reasons: reading.reasons | REASON.clock };
}

/** JSON has no infinity, but a number beyond the largest double becomes one, e.g. 1e400. */
function hasInfiniteValue(json: unknown): boolean {
  if (typeof json !== 'object' || json === null || !('value' in json)) return false;
  return json.value === Infinity || json.value === -Infinity;
}
