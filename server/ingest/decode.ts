import {
  ReadingPayloadSchema,
  REASON,
  SENSOR_ID_PATTERN,
  type IncomingReading,
  type Reject,
  type RejectReason,
} from '../contract/reading.ts';
import { payloadTimeMs } from './payload-time.ts';
import { resolveSenml, type ResolvedRecord } from './senml.ts';

export type Message = { topic: string; payload: Uint8Array; receivedMs: number; retained: boolean };
export type Decoded = { readings: IncomingReading[]; rejects: Reject[] };

export const READING_TOPIC = 'tongside/reading/';
export const SENML_TOPIC = 'tongside/senml';
export const TOPIC_FILTERS = [`${READING_TOPIC}#`, `${SENML_TOPIC}/#`];

/** A pack of a whole hour fits; a picture or a log file does not. */
const MAX_PAYLOAD_BYTES = 8_192;
const KEPT_BYTES = 200;
const KEPT_TOPIC = 200;
/** Absolute bounds of anything that a kitchen probe or a fire can be, degC. */
const MIN_C = -60;
const MAX_C = 1_200;
const ZERO_C_IN_K = 273.15; // exact by definition of the degree Celsius, SI Brochure 9th ed. (2019)
const NUMBER = /^[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?$/;
const NOT_FINITE = /^[+-]?(nan|inf|infinity)$/i;

type Value = { sensorId: string; tempC: number; atMs: number | null };
type Failure = { reason: RejectReason; detail: string };

/** One message to readings and rejects. Never throws, whatever the bytes are. */
export function decode(message: Message): Decoded {
  const out: Decoded = { readings: [], rejects: [] };
  const fail = ({ reason, detail }: Failure): void => {
    const { topic, receivedMs, payload } = message;
    out.rejects.push({
      topic: topic.slice(0, KEPT_TOPIC),
      receivedMs,
      reason,
      detail,
      payload: payload.slice(0, KEPT_BYTES),
    });
  };
  const found = read(message);
  if ('reason' in found) fail(found);
  else {
    for (const failure of found.failures) fail(failure);
    for (const value of found.values) {
      if (value.tempC < MIN_C || value.tempC > MAX_C)
        fail({ reason: 'out-of-range', detail: `${value.tempC} °C` });
      else out.readings.push(toReading(value, message));
    }
  }
  return out;
}

function toReading({ sensorId, tempC, atMs }: Value, { receivedMs, retained }: Message): IncomingReading {
  // an old retained value without a time of its own must not pass for a live one
  const isOld = retained && atMs === null;
  return {
    sensorId,
    tempC: Math.round(tempC * 100) / 100,
    atMs: atMs ?? receivedMs,
    receivedMs,
    quality: isOld ? 3 : 1,
    reasons: isOld ? REASON.retained : 0,
    timeSource: atMs === null ? 'arrival' : 'device',
  };
}

function read({ topic, payload, receivedMs }: Message): { values: Value[]; failures: Failure[] } | Failure {
  const isSenmlTopic = topic === SENML_TOPIC || topic.startsWith(`${SENML_TOPIC}/`);
  if (!isSenmlTopic && !topic.startsWith(READING_TOPIC)) {
    return { reason: 'unknown-topic', detail: `readings go to ${READING_TOPIC}<sensor>` };
  }
  const sensorId = isSenmlTopic ? null : topic.slice(READING_TOPIC.length);
  if (sensorId !== null && !SENSOR_ID_PATTERN.test(sensorId)) {
    return { reason: 'bad-name', detail: 'a sensor name has letters, digits and - : . / _' };
  }
  if (payload.length === 0) return { reason: 'empty', detail: 'no payload' };
  if (payload.length > MAX_PAYLOAD_BYTES) return { reason: 'too-large', detail: `${payload.length} bytes` };
  const text = utf8(payload);
  if (text === null) return { reason: 'not-a-number', detail: 'not text' };
  if (text === '') return { reason: 'empty', detail: 'only blanks' };
  if (sensorId !== null && !/^[[{"]/.test(text)) return bareNumber(text, sensorId);
  return fromJson(text, sensorId, receivedMs);
}

function utf8(payload: Uint8Array): string | null {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(payload).trim();
  } catch {
    return null; // bytes that are not UTF-8: an expected kind of bad input
  }
}

function bareNumber(text: string, sensorId: string): { values: Value[]; failures: Failure[] } | Failure {
  if (NOT_FINITE.test(text)) return { reason: 'not-finite', detail: text };
  if (/^(true|false|null)$/.test(text)) return { reason: 'wrong-json-type', detail: text };
  if (!NUMBER.test(text)) return { reason: 'not-a-number', detail: text.slice(0, 40) };
  const tempC = Number(text);
  if (!Number.isFinite(tempC)) return { reason: 'not-finite', detail: text.slice(0, 40) };
  return { values: [{ sensorId, tempC, atMs: null }], failures: [] };
}

function fromJson(
  text: string,
  sensorId: string | null,
  receivedMs: number,
): { values: Value[]; failures: Failure[] } | Failure {
  let json: unknown;
  try {
    json = JSON.parse(text);
  } catch {
    return { reason: 'not-a-number', detail: 'neither a number nor JSON' };
  }
  if (Array.isArray(json)) return fromSenml(json, sensorId, receivedMs);
  if (sensorId === null) return { reason: 'bad-senml', detail: 'a SenML pack is a JSON array' };
  return fromObject(json, sensorId);
}

function fromObject(json: unknown, sensorId: string): { values: Value[]; failures: Failure[] } | Failure {
  const parsed = ReadingPayloadSchema.safeParse(json);
  if (!parsed.success) {
    const issue = parsed.error.issues[0];
    return {
      reason: 'wrong-json-type',
      detail: issue ? `${issue.path.join('.') || 'payload'}: ${issue.message}` : '',
    };
  }
  const { value, unit, time } = parsed.data;
  const tempC = toCelsius(value, unit ?? 'Cel');
  if (tempC === null) return { reason: 'unknown-unit', detail: `unit: ${(unit ?? '').slice(0, 40)}` };
  const atMs = time === undefined ? null : payloadTimeMs(time);
  if (time !== undefined && atMs === null)
    return { reason: 'bad-time', detail: `time: ${String(time).slice(0, 40)}` };
  return { values: [{ sensorId, tempC, atMs }], failures: [] };
}

function toCelsius(value: number, unit: string): number | null {
  switch (unit) {
    case 'Cel':
      return value;
    case 'K':
      return value - ZERO_C_IN_K;
    case 'degF':
      return (value - 32) / 1.8; // exact, NIST SP 811 (2008) B.8
    default:
      return null;
  }
}

function fromSenml(
  pack: unknown,
  sensorId: string | null,
  receivedMs: number,
): { values: Value[]; failures: Failure[] } | Failure {
  const resolved = resolveSenml(pack, receivedMs / 1000, sensorId);
  if (!resolved.ok) return { reason: 'bad-senml', detail: resolved.reason };
  const failures: Failure[] = resolved.skipped.map((detail) => ({ reason: 'bad-senml', detail }));
  const values: Value[] = [];
  const others: string[] = [];
  for (const record of resolved.records) {
    const value = senmlValue(record, sensorId);
    if (value) values.push(value);
    else others.push(`${record.name} (${record.unit ?? 'no unit'})`);
  }
  if (others.length > 0)
    failures.push({ reason: 'not-a-temperature', detail: others.join(', ').slice(0, 200) });
  return { values, failures };
}

/** degF is not a SenML unit: RFC 8428 section 12.1 and RFC 8798. */
function senmlValue(record: ResolvedRecord, sensorId: string | null): Value | null {
  const unit = record.unit ?? (sensorId === null ? null : 'Cel');
  if (typeof record.value !== 'number' || (unit !== 'Cel' && unit !== 'K')) return null;
  const tempC = toCelsius(record.value, unit);
  if (tempC === null || !SENSOR_ID_PATTERN.test(record.name)) return null;
  return { sensorId: record.name, tempC, atMs: record.hasOwnTime ? Math.round(record.timeS * 1000) : null };
}
