import { SENSOR_ID_PATTERN } from '../../contract/reading.ts';
import type { Message } from '../message.ts';
import { pointedAt } from './json-pointer.ts';
import type { ReadyRule } from './rule-set.ts';

/** A member that `eachKey` matched. */
export type Member = { key: string; value: unknown };
export type SensorName = { ok: true; sensorId: string } | { ok: false; detail: string };

/** What a sensor is called by the rule, in the letters that a sensor can have: blanks become dashes. */
export function sensorNameOf(
  ready: ReadyRule,
  message: Message,
  { root, member }: { root: unknown; member: Member | null },
): SensorName {
  const raw = rawName(ready, message, { root, member });
  if (raw === null || raw.trim() === '')
    return { ok: false, detail: `no name of the sensor: ${whereOf(ready)}` };
  const from = ready.rule.sensor?.from;
  const isWhole = member === null || from === 'key' || from === 'member';
  const name = isWhole ? raw : `${raw}.${member.key}`;
  const sensorId = name.trim().replaceAll(/\s+/g, '-');
  if (!SENSOR_ID_PATTERN.test(sensorId))
    return {
      ok: false,
      detail: `a sensor name has letters, digits and - : . / _ but this is ${name.slice(0, 40)}`,
    };
  return { ok: true, sensorId };
}

function rawName(
  { rule, sensorAt }: ReadyRule,
  { topic, userProperties }: Message,
  { root, member }: { root: unknown; member: Member | null },
): string | null {
  const { sensor } = rule;
  switch (sensor?.from) {
    case undefined:
      return null;
    case 'const':
      return sensor.value;
    case 'topic':
      return topic.split('/')[sensor.level] ?? null;
    case 'json':
      return textAt(root, sensorAt);
    case 'key':
      return member?.key ?? null;
    case 'member':
      return member ? textAt(member.value, sensorAt) : null;
    case 'prop': {
      if (!userProperties || !Object.hasOwn(userProperties, sensor.name)) return null;
      const property = userProperties[sensor.name];
      return (typeof property === 'string' ? property : property?.[0]) ?? null;
    }
  }
}

function textAt(root: unknown, names: readonly string[]): string | null {
  const there = pointedAt(root, names);
  if (there.kind !== 'found') return null;
  if (typeof there.value === 'string') return there.value;
  return typeof there.value === 'number' ? String(there.value) : null;
}

function whereOf({ rule: { sensor } }: ReadyRule): string {
  switch (sensor?.from) {
    case undefined:
    case 'const':
    case 'key':
      return 'the rule has none';
    case 'topic':
      return `the topic has no level ${sensor.level}`;
    case 'json':
      return `nothing at ${sensor.at}`;
    case 'member':
      return `nothing at ${sensor.at} of the member`;
    case 'prop':
      return `the message has no user property ${sensor.name}`;
  }
}
