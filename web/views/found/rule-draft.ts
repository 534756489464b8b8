import type { MappingDocument } from '../../../server/contract/mapping.ts';
import { numberOf } from '../../form/check.ts';
import { isWide, overlaps } from './filters.ts';
import { pointerTo } from './payload-tree.ts';
import type { Decimal, TimeForm } from './payload-tree.ts';

export type RuleDocument = MappingDocument['rules'][number];
type ValueDocument = NonNullable<RuleDocument['values']>[number];

/** What a number in a payload is; the words are in `rule-words.ts`. */
export const MEANINGS = [
  'celsius',
  'fahrenheit',
  'kelvin',
  /** A text in the message says which of them. */
  'told',
  'pt100',
  'pt1000',
  'type-k',
  'ntc',
] as const;
export type Meaning = (typeof MEANINGS)[number];

export const SCALES = ['1', '0.1', '0.01', '0.001'] as const;
export type Scale = (typeof SCALES)[number];

/** Members of a list or an object, with the number at the same place in each. */
type Each = {
  parent: string;
  keys: readonly string[];
  below: string;
  /** All of a list, however many there are. */
  isWhole: boolean;
};

/** Where the probe's name comes from. */
export type NameChoice =
  | { from: 'topic'; level: number; isForAll: boolean }
  | { from: 'json'; at: string }
  /** Its own name in the payload, and those of its neighbours that are taken too. */
  | ({ from: 'key' } & Each)
  /** A text in each of several members of the payload. */
  | ({ from: 'member'; at: string } & Each)
  | { from: 'const'; value: string };

export type TimeChoice = { at: string; as: TimeForm; zone: string } | null;

/** As typed and pressed. */
export type RuleDraft = {
  topic: string;
  format: 'number' | 'json';
  /** JSON pointer to the value. */
  at: string;
  decimal: Decimal;
  meaning: Meaning;
  /** The text in the message that tells the unit; null when there is none. */
  told: { at: string; text: string } | null;
  scale: Scale;
  /** Of a type K: the temperature of the terminals, degC as typed. */
  coldC: string;
  /** Of an NTC: ohm at 25 degC, and beta in kelvin, as typed. */
  r0Ohm: string;
  beta: string;
  name: NameChoice;
  time: TimeChoice;
  /** JSON pointer to a battery share in percent; empty for none. */
  batteryAt: string;
};

const MAX_ID = 40;

/** A name of a rule made of the topic, which no other rule has. */
export function ruleId(topic: string, taken: readonly string[]): string {
  const plain =
    topic
      .toLowerCase()
      .replace(/[^a-z0-9]+/g, '-')
      .replace(/^-+|-+$/g, '')
      .slice(0, MAX_ID - 4)
      .replace(/-+$/, '') || 'rule';
  let id = plain;
  for (let n = 2; taken.includes(id); n += 1) id = `${plain}-${n}`;
  return id;
}

/** The topic with `+` in one of its levels. */
export function wideFilterOf(topic: string, level: number): string {
  return topic
    .split('/')
    .map((text, index) => (index === level ? '+' : text))
    .join('/');
}

/** The topic, with `+` in the level that names the probe when the rule is meant for all of them. */
export function filterOf({ topic, name }: Pick<RuleDraft, 'topic' | 'name'>): string {
  return name.from === 'topic' && name.isForAll ? wideFilterOf(topic, name.level) : topic;
}

/** A regular expression that matches these names and nothing else. */
export function keysPattern(keys: readonly string[]): string {
  const plain = keys.map((key) => key.replace(/[\\^$.*+?()[\]{}|/]/g, '\\$&'));
  return plain.length === 1 ? `^${plain.join('')}$` : `^(?:${plain.join('|')})$`;
}

/** As devices write them; the text that is there is added. */
const USUAL_UNITS = { C: 'Cel', F: 'degF', K: 'K' } as const;

/** The unit that a text names; null when it is none of a temperature. */
export function unitNamed(text: string): 'Cel' | 'degF' | 'K' | null {
  const plain = text.trim();
  if (/^(?:c|cel|celsius|centigrade|deg ?c|°c|℃)$/i.test(plain)) return 'Cel';
  if (/^(?:f|fahrenheit|deg ?f|°f|℉)$/i.test(plain)) return 'degF';
  return /^(?:k|kelvin)$/i.test(plain) ? 'K' : null;
}

function unitOf({ meaning, told }: Pick<RuleDraft, 'meaning' | 'told'>): ValueDocument['unit'] {
  switch (meaning) {
    case 'told': {
      const unit = unitNamed(told?.text ?? '');
      if (told === null || unit === null) return 'Cel';
      return { from: 'json', at: told.at, map: { ...USUAL_UNITS, [told.text.trim()]: unit } };
    }
    case 'celsius':
      return 'Cel';
    case 'fahrenheit':
      return 'degF';
    case 'kelvin':
      return 'K';
    case 'pt100':
    case 'pt1000':
    case 'ntc':
      return 'Ohm';
    case 'type-k':
      return 'mV';
  }
}

type Converter = Pick<ValueDocument, 'convert' | 'coldJunction' | 'thermistor'>;

function converterOf({ meaning, coldC, r0Ohm, beta }: RuleDraft): Converter {
  switch (meaning) {
    case 'celsius':
    case 'fahrenheit':
    case 'kelvin':
    case 'told':
      return {};
    case 'pt100':
    case 'pt1000':
      return { convert: meaning };
    case 'type-k':
      return { convert: 'typeK', coldJunction: { from: 'const', valueC: numberOf(coldC) } };
    case 'ntc':
      return {
        convert: 'ntc-beta',
        thermistor: { kind: 'beta', r0Ohm: numberOf(r0Ohm), t0C: 25, beta: numberOf(beta) },
      };
  }
}

function numOf({ scale, decimal }: RuleDraft): Pick<ValueDocument, 'num'> {
  const num = {
    ...(scale === '1' ? {} : { scale: Number(scale) }),
    ...(decimal === '.' ? {} : { decimal }),
  };
  return Object.keys(num).length === 0 ? {} : { num };
}

function placeOf({ at, name, format }: RuleDraft): Pick<ValueDocument, 'at' | 'eachKey' | 'below'> {
  if (format === 'number') return {};
  if (name.from !== 'key' && name.from !== 'member') return { at };
  return {
    at: name.parent,
    eachKey: name.isWhole ? '^[0-9]+$' : keysPattern(name.keys),
    ...(name.below === '' ? {} : { below: name.below }),
  };
}

/** JSON pointers of every number that the rule reads. */
export function readPlaces({ at, name, batteryAt }: RuleDraft): ReadonlySet<string> {
  const own =
    name.from === 'key' || name.from === 'member'
      ? name.keys.map((key) => `${pointerTo(name.parent, key)}${name.below}`)
      : [at];
  return new Set([...own, ...(batteryAt === '' ? [] : [batteryAt])]);
}

/** A rule of several probes has one battery for none of them. */
export function isForSeveral({ name }: Pick<RuleDraft, 'name'>): boolean {
  return name.from === 'key' || name.from === 'member';
}

function valuesOf(draft: RuleDraft): ValueDocument[] {
  const temperature: ValueDocument = {
    ...placeOf(draft),
    quantity: 'temperature',
    unit: unitOf(draft),
    ...numOf(draft),
    ...converterOf(draft),
  };
  if (draft.batteryAt === '' || draft.format === 'number' || isForSeveral(draft)) return [temperature];
  return [temperature, { at: draft.batteryAt, quantity: 'battery', unit: '%EL' }];
}

function sensorOf({ name }: RuleDraft): NonNullable<RuleDocument['sensor']> {
  switch (name.from) {
    case 'topic':
      return { from: 'topic', level: name.level };
    case 'json':
      return { from: 'json', at: name.at };
    case 'key':
      return { from: 'key' };
    case 'member':
      return { from: 'member', at: name.at };
    case 'const':
      return { from: 'const', value: name.value.trim() };
  }
}

function timeOf({ time, format }: RuleDraft): Pick<RuleDocument, 'time'> {
  if (time === null || format === 'number') return {};
  const { as, at, zone } = time;
  return { time: as === 'local' ? { as, at, zone } : { as, at } };
}

/** The rule that a person built, as it is written in the mapping file. Pure. */
export function ruleOf(draft: RuleDraft, id: string): RuleDocument {
  return {
    id,
    filter: filterOf(draft),
    format: draft.format,
    sensor: sensorOf(draft),
    ...timeOf(draft),
    values: valuesOf(draft),
  };
}

/**
 * The mapping with one more rule. The first that matches is used: one for a topic alone comes before every rule that
 * would take its topic, a wide one after all others, so that it takes nothing from them.
 */
export function withRule(mapping: MappingDocument, rule: RuleDocument): MappingDocument {
  const { rules } = mapping;
  const taker = isWide(rule.filter) ? -1 : rules.findIndex(({ filter }) => overlaps(filter, rule.filter));
  if (taker === -1) return { ...mapping, rules: [...rules, rule] };
  return { ...mapping, rules: [...rules.slice(0, taker), rule, ...rules.slice(taker)] };
}
