import type { SideQuantity, SideReading } from '../contract/reading.ts';
import { celsiusOf } from './convert/units.ts';
import { readingOf, sideOf, type Decoded, type Failure, type Message } from './message.ts';
import { resolveSenml, type ResolvedRecord } from './senml.ts';

/** Units that say something beside the temperature: RFC 8428 (2018) section 12.1, table 6. */
const SIDES: ReadonlyMap<string, SideQuantity> = new Map([
  ['%RH', 'humidity'],
  ['%EL', 'battery'],
  ['V', 'voltage'],
  ['Ohm', 'resistance'],
  ['dB', 'signal'],
  ['dBW', 'signal'],
]);
/** Secondary units of those, to the primary one: value times scale plus offset. RFC 8798 (2020) section 3; none is a temperature. */
const SECONDARY: ReadonlyMap<string, { primary: string; scale: number; offset: number }> = new Map([
  ['mV', { primary: 'V', scale: 1 / 1000, offset: 0 }],
  ['dBm', { primary: 'dBW', scale: 1, offset: -30 }],
]);

type Found = Pick<Decoded, 'readings' | 'sides'> & { failures: Failure[] };
type Setting = { message: Message; topicSensor: string | null; hasSecondaryUnits: boolean };

/**
 * What a SenML pack holds: temperatures (Cel, K), what goes beside them (%RH, %EL, V, Ohm, dB, dBW), and at most one failure
 * for each way to be neither. The sensor is the resolved name.
 *
 * @param pack  parsed JSON, or CBOR made into the same
 * @param topicSensor  on a sensor's own topic: the name of records without one, where the unit is Cel when there is none; else null
 */
export function readSenml(pack: unknown, message: Message, topicSensor: string | null): Found {
  const resolved = resolveSenml(pack, message.receivedMs / 1000, topicSensor);
  if (!resolved.ok)
    return { readings: [], sides: [], failures: [{ reason: 'bad-senml', detail: resolved.reason }] };
  const found: Found = {
    readings: [],
    sides: [],
    failures: resolved.skipped.map((detail) => ({ reason: 'bad-senml', detail })),
  };
  const setting: Setting = { message, topicSensor, hasSecondaryUnits: resolved.hasSecondaryUnits };
  for (const record of resolved.records) takeRecord(record, found, setting);
  return { ...found, failures: oneOfEach(found.failures) };
}

function takeRecord(record: ResolvedRecord, found: Found, { message, ...setting }: Setting): void {
  const { name: sensorId, nextWithinS } = record;
  const atMs = record.timeKind === 'now' ? null : record.timeS * 1000;
  const tempC = temperatureOf(record, setting.topicSensor);
  if (tempC !== null) {
    const timeSource = record.timeKind === 'absolute' ? 'device' : 'age';
    const reading = readingOf({ sensorId, tempC, atMs, timeSource, nextWithinS }, message);
    if ('reason' in reading) found.failures.push(reading);
    else found.readings.push(reading);
    return;
  }
  const beside = besideOf(record, setting.hasSecondaryUnits);
  if (beside === null) {
    const detail = `${sensorId} (${record.unit ?? 'no unit'})`;
    found.failures.push({ reason: 'not-a-temperature', detail });
    return;
  }
  // what the broker had kept, without a date, may be from any day: it must not pass for the state of now
  if (message.retained && record.timeKind !== 'absolute') return;
  const side = sideOf({ sensorId, ...beside, atMs }, message);
  if ('reason' in side) found.failures.push(side);
  else found.sides.push(side);
}

/** degF is not a SenML unit: RFC 8428 section 12.1 and RFC 8798. */
function temperatureOf({ value, unit }: ResolvedRecord, topicSensor: string | null): number | null {
  if (typeof value !== 'number') return null;
  const meant = unit ?? (topicSensor === null ? null : 'Cel');
  return meant === 'Cel' || meant === 'K' ? celsiusOf(value, meant) : null;
}

function besideOf(
  { value, unit }: ResolvedRecord,
  hasSecondaryUnits: boolean,
): Pick<SideReading, 'quantity' | 'value' | 'unit'> | null {
  if (typeof value !== 'number' || unit === null) return null;
  const secondary = hasSecondaryUnits ? SECONDARY.get(unit) : undefined;
  const primary = secondary?.primary ?? unit;
  const quantity = SIDES.get(primary);
  if (quantity === undefined) return null;
  return {
    quantity,
    value: secondary ? value * secondary.scale + secondary.offset : value,
    unit: primary,
  };
}

/** The failures of one pack gathered by reason, so that a long pack cannot fill the list of rejects. */
function oneOfEach(failures: readonly Failure[]): Failure[] {
  const details = new Map<Failure['reason'], string[]>();
  for (const { reason, detail } of failures) {
    const others = details.get(reason);
    if (others) others.push(detail);
    else details.set(reason, [detail]);
  }
  return [...details].map(([reason, all]) => ({ reason, detail: all.join(', ') }));
}
