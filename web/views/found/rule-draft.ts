import type { MappingDocument } from '../../../server/contract/mapping.ts';
import { numberOf } from '../../form/check.ts';
import type { Decimal, TimeForm } from './payload-tree.ts';

export type RuleDocument = MappingDocument['rules'][number];
type ValueDocument = NonNullable<RuleDocument['values']>[number];

/** What a number in a payload is; the words are in `rule-words.ts`. */
export const MEANINGS = ['celsius', 'fahrenheit', 'kelvin', 'pt100', 'pt1000', 'type-k', 'ntc'] as const;
export type Meaning = (typeof MEANINGS)[number];

export const SCALES = ['1', '0.1', '0.01', '0.001'] as const;
export type Scale = (typeof SCALES)[number];

/** Where the probe's name comes from. */
export type NameChoice =
  | { from: 'topic'; level: number; isForAll: boolean }
  | { from: 'json'; at: string }
  /** Its own name in the payload, and those of its neighbours that are taken too. */
  | { from: 'key'; parent: string; keys: readonly string[] }
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

/** The topic, with `+` in the level that names the probe when the rule is meant for all of them. */
export function filterOf({ topic, name }: Pick<RuleDraft, 'topic' | 'name'>): string {
  if (name.from !== 'topic' || !name.isForAll) return topic;
  return topic
    .split('/')
    .map((level, index) => (index === name.level ? '+' : level))
    .join('/');
}

/** A regular expression that matches these names and nothing else. */
export function keysPattern(keys: readonly string[]): string {
  const plain = keys.map((key) => key.replace(/[\\^$.*+?()[\]{}|/]/g, '\\$&'));
  return plain.length === 1 ? `^${plain.join('')}$` : `^(?:${plain.join('|')})$`;
}

function unitOf(meaning: Meaning): ValueDocument['unit'] {
  switch (meaning) {
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

function placeOf({ at, name, format }: RuleDraft): Pick<ValueDocument, 'at' | 'eachKey'> {
  if (format === 'number') return {};
  if (name.from === 'key') return { at: name.parent, eachKey: keysPattern(name.keys) };
  return { at };
}

function valuesOf(draft: RuleDraft): ValueDocument[] {
  const temperature: ValueDocument = {
    ...placeOf(draft),
    quantity: 'temperature',
    unit: unitOf(draft.meaning),
    ...numOf(draft),
    ...converterOf(draft),
  };
  if (draft.batteryAt === '' || draft.format === 'number' || draft.name.from === 'key') return [temperature];
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

/** The mapping with one more rule. `first`: before all others, for a topic that another rule would take. */
export function withRule(
  mapping: MappingDocument,
  rule: RuleDocument,
  place: 'first' | 'last',
): MappingDocument {
  const rules = place === 'first' ? [rule, ...mapping.rules] : [...mapping.rules, rule];
  return { ...mapping, rules };
}
