import type { Unit } from '../../contract/mapping-value.ts';
import { REASON } from '../../contract/reading.ts';
import type { Message } from '../message.ts';
import type { Flag, Gathering } from './gathering.ts';
import { isObject, pointedAt, type PointedAt } from './json-pointer.ts';
import { readNumber } from './number-value.ts';
import type { KeySearch } from './key-search.ts';
import type { ReadyRule, ReadyValue } from './rule-set.ts';
import { sensorNameOf, type Member } from './sensor-name.ts';
import { coldJunctionOf, temperatureOf } from './temperature.ts';

type Setting = {
  value: ReadyValue;
  ready: ReadyRule;
  message: Message;
  root: unknown;
  gathering: Gathering;
  search: KeySearch;
};

const GOOD: Flag = { quality: 1, reasons: 0 };
const GROSS: Flag = { quality: 4, reasons: REASON.gross };
const UNKNOWN_UNIT: Flag = { quality: 4, reasons: REASON.unit };
const SENTINEL: Flag = { quality: 9, reasons: REASON.sentinel };
/** OURS: no thermometer has more channels. */
const MOST_MEMBERS = 256;
const MOST_SENSORS = 64;
/** Absolute bounds of anything that a kitchen probe or a fire can be, degC, as on the built-in topics. */
const MIN_C = -60;
const MAX_C = 1_200;

/** One value of a rule: the number at its place, or one for each member that matches. */
export function takeValue(setting: Setting): void {
  const { value, root, gathering } = setting;
  const there = pointedAt(root, value.at);
  if (value.eachKey === null) {
    takeOne(setting, there, null);
    return;
  }
  const members = there.kind === 'found' ? membersOf(there.value) : null;
  if (members === null) {
    missing(setting, `nothing with members at ${placeOf(value)}`);
    return;
  }
  const pattern = value.eachKey;
  const matching = setting.search.matching(members, pattern);
  if (matching === null) {
    gathering.fail({
      reason: 'too-many-sensors',
      detail: `${members.length} members are too many to search`,
    });
    return;
  }
  if (matching.length === 0) missing(setting, `no member of ${placeOf(value)} matches ${pattern.source}`);
  if (matching.length > MOST_SENSORS)
    gathering.fail({ reason: 'too-many-sensors', detail: `${matching.length} members match` });
  for (const member of matching.slice(0, MOST_SENSORS))
    takeOne(setting, pointedAt(member.value, value.below), member);
}

function placeOf({ spec }: ReadyValue): string {
  return spec.at === '' ? 'the payload' : spec.at;
}

function membersOf(value: unknown): Member[] | null {
  if (Array.isArray(value)) {
    const list: unknown[] = value.slice(0, MOST_MEMBERS);
    return list.map((member, index) => ({ key: String(index), value: member }));
  }
  if (!isObject(value)) return null;
  return Object.entries(value)
    .slice(0, MOST_MEMBERS)
    .map(([key, member]) => ({ key, value: member }));
}

/** What goes beside a temperature may come now and then; a temperature that is nowhere is told. */
function missing({ value, gathering }: Setting, detail: string): void {
  if (value.spec.quantity === 'temperature') gathering.fail({ reason: 'no-value', detail });
}

function takeOne(setting: Setting, there: PointedAt, member: Member | null): void {
  const { value, gathering, ready, message, root } = setting;
  const { spec } = value;
  if (there.kind === 'absent') {
    // a message about something else, or a misspelt member: only the device itself can say that nothing is plugged in
    missing(setting, `nothing at ${spec.at}${member ? `/${member.key}` : ''}${spec.below}`);
    return;
  }
  const read = readNumber(there.value, spec);
  if (read.kind === 'bad') {
    gathering.fail(read);
    return;
  }
  const name = sensorNameOf(ready, message, { root, member });
  if (!name.ok) {
    gathering.fail({ reason: 'bad-name', detail: name.detail });
    return;
  }
  const { sensorId } = name;
  if (spec.quantity !== 'temperature') {
    if (read.kind === 'number') takeSide(setting, sensorId, read.number);
  } else if (read.kind === 'unplugged') gathering.unplugged(sensorId);
  else if (read.kind === 'sentinel') gathering.temperature(sensorId, read.number, SENTINEL);
  else takeTemperature(setting, sensorId, read.number);
}

function takeSide({ value, root, gathering }: Setting, sensorId: string, number: number): void {
  const { spec } = value;
  if (spec.quantity === 'temperature') return;
  const unit = unitOf(value, root);
  if (unit === null) {
    gathering.fail({ reason: 'unknown-unit', detail: `${sensorId}: ${spec.quantity}` });
    return;
  }
  const scaled = number * spec.num.scale + spec.num.offset;
  if (!isValid(scaled, spec.valid)) {
    gathering.fail({ reason: 'out-of-range', detail: `${sensorId}: ${spec.quantity} ${scaled}` });
    return;
  }
  gathering.side(sensorId, { quantity: spec.quantity, value: scaled, unit });
}

function takeTemperature({ value, root, gathering }: Setting, sensorId: string, number: number): void {
  const { spec } = value;
  const unit = unitOf(value, root);
  if (unit === null) {
    gathering.temperature(sensorId, number, UNKNOWN_UNIT);
    return;
  }
  const coldJunctionC = coldJunctionOf(spec.coldJunction, value.coldJunctionAt, root);
  if (spec.coldJunction && coldJunctionC === null) {
    gathering.fail({ reason: 'no-value', detail: `${sensorId}: the temperature of its cold junction` });
    return;
  }
  const tempC = temperatureOf(number, unit, { spec, coldJunctionC });
  if (tempC === null) {
    gathering.temperature(sensorId, number, GROSS);
    return;
  }
  const isPossible = tempC >= MIN_C && tempC <= MAX_C && isValid(tempC, spec.valid);
  gathering.temperature(sensorId, tempC, isPossible ? GOOD : GROSS);
}

function isValid(number: number, valid: readonly [number, number] | undefined): boolean {
  return Number.isFinite(number) && (valid === undefined || (number >= valid[0] && number <= valid[1]));
}

/** The unit of a value; null when the payload names none that the rule knows. */
function unitOf({ spec, unitAt }: ReadyValue, root: unknown): Unit | null {
  if (typeof spec.unit === 'string') return spec.unit;
  const there = pointedAt(root, unitAt ?? []);
  if (there.kind !== 'found' || (typeof there.value !== 'string' && typeof there.value !== 'number'))
    return null;
  const name = String(there.value).trim();
  return (Object.hasOwn(spec.unit.map, name) ? spec.unit.map[name] : undefined) ?? null;
}
