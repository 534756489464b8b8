import { describe, expect, it } from 'vitest';
import { parseMapping } from '../../server/contract/mapping-problems.ts';

const VALUE = { quantity: 'temperature', unit: 'Cel' };
const RULE = { id: 'yard', filter: 'yard/+', sensor: { from: 'topic', level: 1 }, values: [VALUE] };

function problems(document: unknown): Record<string, string> {
  const parsed = parseMapping(document);
  return parsed.ok ? {} : Object.fromEntries(parsed.problems.map(({ path, message }) => [path, message]));
}
function ofRule(changes: object): Record<string, string> {
  return problems({ version: 1, rules: [{ ...RULE, ...changes }] });
}
function ofValue(changes: object): Record<string, string> {
  return ofRule({ values: [{ ...VALUE, ...changes }] });
}

describe('a mapping', () => {
  it('is taken with everything that was left out filled in, and kept as it was written', () => {
    const document = { version: 1, rules: [RULE] };
    const parsed = parseMapping(document);
    expect(parsed).toMatchObject({
      ok: true,
      document,
      mapping: {
        rules: [
          {
            format: 'json',
            time: { as: 'arrival' },
            retained: 'accept-stale',
            maxBytes: 8_192,
            values: [{ at: '', num: { scale: 1, offset: 0, decimal: '.' }, convert: 'none', missing: [] }],
          },
        ],
      },
    });
  });

  it('may be without rules, because the built-in topics need none', () => {
    expect(parseMapping({ version: 1, rules: [] }).ok).toBe(true);
  });

  it.each([
    ['version', { version: 2, rules: [RULE] }],
    ['rules.0.id', { version: 1, rules: [{ ...RULE, id: 'A B' }] }],
    ['rules.0.values.1.unit', { version: 1, rules: [{ ...RULE, values: [VALUE, { ...VALUE, unit: 'F' }] }] }],
    ['rules.0.typo', { version: 1, rules: [{ ...RULE, typo: 1 }] }],
    ['rules.0.values.0.typo', { version: 1, rules: [{ ...RULE, values: [{ ...VALUE, typo: 1 }] }] }],
    ['typo', { version: 1, rules: [], typo: 1 }],
    ['rules', { version: 1 }],
    ['rules', { version: 1, rules: {} }],
    ['rules', { version: 1, rules: Array.from({ length: 201 }, (_, i) => ({ ...RULE, id: `r${i}` })) }],
    ['mapping', null],
    ['mapping', []],
    ['mapping', 'text'],
  ])('is refused with the path %s', (path, document) => {
    expect(Object.keys(problems(document))).toEqual([path]);
  });

  it('is refused with everything that is wrong, not only the first', () => {
    const document = {
      version: 1,
      rules: [
        { ...RULE, filter: 'yard/#/x', sensor: { from: 'nowhere' }, maxBytes: 0 },
        { ...RULE, time: { as: 'sometime' }, values: [{ quantity: 'heat', unit: 'Cel', num: { scale: 0 } }] },
      ],
    };
    expect(Object.keys(problems(document)).sort()).toEqual([
      'rules.0.filter',
      'rules.0.maxBytes',
      'rules.0.sensor.from',
      'rules.1.id',
      'rules.1.time.as',
      'rules.1.values.0.num.scale',
      'rules.1.values.0.quantity',
    ]);
  });

  it('has no two rules of the same id', () => {
    expect(problems({ version: 1, rules: [RULE, { ...RULE, id: 'other' }, RULE] })).toEqual({
      'rules.2.id': 'rules.0 has the same id',
    });
  });

  it('says what a field could have been', () => {
    expect(ofValue({ unit: 'F' })['rules.0.values.0.unit']).toContain('Cel, degF, K');
    expect(ofRule({ format: 'xml' })['rules.0.format']).toContain('senml-json');
    expect(ofRule({ sensor: { from: 'x' } })['rules.0.sensor.from']).toContain('prop');
    expect(ofRule({ id: 7 })['rules.0.id']).toBe('must be text');
    expect(ofRule({ filter: undefined })['rules.0.filter']).toBe('is needed');
  });

  it('says of sparkplug-b that it is not built', () => {
    expect(ofRule({ format: 'sparkplug-b' })['rules.0.format']).toContain('not built');
  });
});

describe('a rule', () => {
  it.each([
    ['rules.0.time.zone', { time: { as: 'local', at: '/t', zone: 'Mars/Olympus' } }],
    ['rules.0.time.at', { time: { as: 'rfc3339', at: 't' } }],
    ['rules.0.sensor', { sensor: undefined }],
    ['rules.0.sensor.value', { sensor: { from: 'const', value: 'left side' } }],
    ['rules.0.sensor.level', { sensor: { from: 'topic', level: 2 } }],
    ['rules.0.values', { values: [] }],
    ['rules.0.values.0.eachKey', { sensor: { from: 'key' } }],
    ['rules.0.values.0.eachKey', { sensor: { from: 'member', at: '/id' } }],
    [
      'rules.0.values.1',
      {
        values: [
          { ...VALUE, at: '/a' },
          { ...VALUE, at: '/b' },
        ],
      },
    ],
    ['rules.0.quality.map.ok', { quality: { at: '/q', map: { ok: 7 } } }],
    ['rules.0.sensor.from', { format: 'number', sensor: { from: 'json', at: '/id' } }],
    ['rules.0.values.0.at', { format: 'number', values: [{ ...VALUE, at: '/a' }] }],
    ['rules.0.time', { format: 'number', time: { as: 'epoch-s', at: '/t' } }],
    ['rules.0.quality', { format: 'number', quality: { at: '/q', map: { ok: 1 } } }],
    ['rules.0.values', { format: 'senml-json' }],
    ['rules.0.maxBytes', { format: 'senml-cbor', values: [], maxBytes: 8_193 }],
  ])('is refused with the path %s when its parts do not fit', (path, changes) => {
    expect(Object.keys(ofRule(changes))).toEqual([path]);
  });

  it.each([
    { format: 'senml-json', values: [], sensor: undefined },
    { format: 'senml-cbor', values: [] },
    { filter: 'yard/#', sensor: { from: 'topic', level: 4 } },
    { sensor: { from: 'key' }, values: [{ ...VALUE, eachKey: '^ch' }] },
    { values: [VALUE, { quantity: 'battery', unit: '%EL', at: '/batt' }] },
    { time: { as: 'local', at: '/t', zone: 'Europe/London' } },
    { time: { as: 'uptime-ms', at: '/up' } },
  ])('is taken: %j', (changes) => {
    expect(ofRule(changes)).toEqual({});
  });
});

describe('a value', () => {
  const BETA = { kind: 'beta', r0Ohm: 10_000, beta: 3_950 };
  const DIVIDER = { seriesOhm: 10_000, fullScale: 4_095, sensorTo: 'ground' };

  it.each([
    { unit: 'degF' },
    { unit: { from: 'json', at: '/unit', map: { C: 'Cel', F: 'degF' } } },
    { unit: 'Ohm', convert: 'pt100' },
    { unit: '1', convert: 'pt1000', divider: DIVIDER },
    { unit: 'mV', convert: 'typeK', coldJunction: { from: 'const', valueC: 23 } },
    { unit: 'mV', convert: 'typeK', coldJunction: { from: 'json', at: '/cj', unit: 'Cel' } },
    { unit: 'Ohm', convert: 'ntc-beta', thermistor: BETA },
    { unit: 'Ohm', convert: 'ntc-sh', thermistor: { kind: 'sh', a: 1.1e-3, b: 2.3e-4, c: 8.8e-8 } },
    { quantity: 'humidity', unit: '%RH' },
    { quantity: 'signal', unit: 'dBm' },
  ])('is taken: %j', (changes) => {
    expect(ofValue(changes)).toEqual({});
  });

  it.each([
    ['unit', { unit: 'Ohm' }],
    ['unit', { unit: '%RH' }],
    ['unit', { unit: 'Cel', convert: 'pt100' }],
    ['unit', { unit: '1', convert: 'pt100' }],
    ['unit', { unit: 'Ohm', convert: 'pt100', divider: DIVIDER }],
    ['unit', { unit: 'V', convert: 'typeK', coldJunction: { from: 'const', valueC: 23 } }],
    ['unit', { quantity: 'battery', unit: 'V' }],
    ['unit.map.R', { unit: { from: 'json', at: '/u', map: { R: 'Ohm' } } }],
    ['unit.map', { unit: { from: 'json', at: '/u', map: {} } }],
    ['unit.at', { unit: { from: 'json', at: 'u', map: { C: 'Cel' } } }],
    ['coldJunction', { unit: 'mV', convert: 'typeK' }],
    ['coldJunction', { coldJunction: { from: 'const', valueC: 23 } }],
    ['thermistor', { unit: 'Ohm', convert: 'ntc-beta' }],
    ['thermistor', { unit: 'Ohm', convert: 'ntc-sh', thermistor: BETA }],
    ['thermistor', { thermistor: BETA }],
    ['thermistor.beta', { unit: 'Ohm', convert: 'ntc-beta', thermistor: { ...BETA, beta: 0 } }],
    ['divider', { divider: DIVIDER }],
    ['divider.seriesOhm', { unit: '1', convert: 'pt100', divider: { ...DIVIDER, seriesOhm: -1 } }],
    ['eachKey', { eachKey: '(' }],
    ['at', { at: 'temp' }],
    ['at', { at: '/a~2' }],
    ['below', { below: '/t' }],
    ['valid', { valid: [10, 10] }],
    ['num.scale', { num: { scale: 0 } }],
    ['num.decimal', { num: { decimal: ';' } }],
    ['missing.0', { missing: [{}] }],
  ])('is refused with the path %s when its parts do not fit: %j', (path, changes) => {
    expect(Object.keys(ofValue(changes))).toEqual([`rules.0.values.0.${path}`]);
  });

  it('is a temperature when something is converted into one', () => {
    expect(Object.keys(ofValue({ quantity: 'resistance', unit: 'Ohm', convert: 'pt100' }))).toEqual([
      'rules.0.values.0.convert',
    ]);
  });
});
