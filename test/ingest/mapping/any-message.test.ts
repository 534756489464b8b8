import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { TIME_FORMS } from '../../../server/contract/mapping.ts';
import { parseMapping } from '../../../server/contract/mapping-problems.ts';
import { QUALITIES, SENSOR_ID_PATTERN } from '../../../server/contract/reading.ts';
import { RuleSet } from '../../../server/ingest/mapping/rule-set.ts';
import { understand } from '../../../server/ingest/understand.ts';
import { NOW_MS } from './rules.ts';

const RUNS = 20_000;
const names = fc.constantFrom(
  't',
  'ts',
  'id',
  'ch1',
  'ch2',
  'unit',
  'batt',
  '',
  '0',
  '1',
  'a/b',
  '__proto__',
  'constructor',
);
const paths = fc.oneof(
  { weight: 4, arbitrary: fc.constantFrom(['t'], ['t', 'ch1'], ['ts'], ['id'], ['batt'], []) },
  { weight: 1, arbitrary: fc.array(names, { maxLength: 3 }) },
);
const pointers = paths.map((parts) =>
  parts.map((name) => `/${name.replaceAll('~', '~0').replaceAll('/', '~1')}`).join(''),
);
const outside = fc.oneof(
  fc.record({ from: fc.constant('const'), value: fc.constantFrom('left', 'a:b/c') }),
  fc.record({ from: fc.constant('topic'), level: fc.nat(1) }),
  fc.record({ from: fc.constant('prop'), name: fc.constantFrom('id', 't', 'constructor') }),
);
const sources = fc.oneof(
  { weight: 3, arbitrary: outside },
  { weight: 1, arbitrary: fc.record({ from: fc.constantFrom('json', 'member'), at: pointers }) },
  { weight: 1, arbitrary: fc.record({ from: fc.constant('key') }) },
);
const times = fc.oneof(
  fc.constant({ as: 'arrival' }),
  fc.record({
    as: fc.constantFrom(...TIME_FORMS),
    at: pointers,
  }),
  fc.record({
    as: fc.constant('local'),
    at: pointers,
    zone: fc.constantFrom('Europe/Berlin', 'Pacific/Apia'),
  }),
);
const divider = fc.record({
  seriesOhm: fc.constantFrom(100, 10_000),
  fullScale: fc.constantFrom(1, 4_095),
  sensorTo: fc.constantFrom('ground', 'supply'),
});
const plainMeanings = fc.oneof(
  fc.constantFrom(
    { quantity: 'temperature', unit: 'Cel' },
    { quantity: 'temperature', unit: 'degF' },
    { quantity: 'temperature', unit: 'Ohm', convert: 'pt100' },
    {
      quantity: 'temperature',
      unit: 'Ohm',
      convert: 'ntc-beta',
      thermistor: { kind: 'beta', r0Ohm: 1e4, beta: 3950 },
    },
    {
      quantity: 'temperature',
      unit: 'Ohm',
      convert: 'ntc-sh',
      thermistor: { kind: 'sh', a: 1e-3, b: 2e-4, c: 0 },
    },
    { quantity: 'battery', unit: '%EL' },
    { quantity: 'signal', unit: '1' },
  ),
  divider.map((d) => ({ quantity: 'temperature', unit: '1', convert: 'pt1000', divider: d })),
);
const meanings = fc.oneof(
  { weight: 4, arbitrary: plainMeanings },
  {
    weight: 1,
    arbitrary: fc.constantFrom(
      { quantity: 'temperature', unit: { from: 'json', at: '/unit', map: { C: 'Cel', K: 'K' } } },
      {
        quantity: 'temperature',
        unit: 'mV',
        convert: 'typeK',
        coldJunction: { from: 'json', at: '/t', unit: 'K' },
      },
    ),
  },
);
const members = fc.oneof(
  { weight: 2, arbitrary: fc.constant({}) },
  {
    weight: 1,
    arbitrary: fc.record({
      eachKey: fc.constantFrom('.', '^ch', '^[0-9]+$', '^$'),
      below: fc.oneof({ weight: 4, arbitrary: fc.constant('') }, { weight: 1, arbitrary: pointers }),
    }),
  },
);
const extremes = fc.record(
  {
    num: fc.record({
      scale: fc.constantFrom(1, 1, 1, 0.1, -1e300),
      offset: fc.constantFrom(0, 0, 0, 1e308),
      decimal: fc.constantFrom('.', ','),
    }),
    missing: fc.constant([-127, 85, 'x', null]),
    valid: fc.constant([-10, 90]),
  },
  { requiredKeys: [] },
);
type Value = { quantity: string; eachKey?: string };
const values: fc.Arbitrary<Value> = fc
  .tuple(meanings, fc.record({ at: pointers }), members, extremes)
  .map(([meaning, at, each, more]) => ({ ...meaning, ...at, ...each, ...more }));
const common = fc.record(
  {
    id: fc.constant('any'),
    filter: fc.constantFrom('#', 'yard/+', 'yard/left'),
    retained: fc.constantFrom('accept-stale', 'accept-stale', 'ignore'),
    maxBytes: fc.constantFrom(8_192, 8_192, 10),
  },
  { requiredKeys: ['id', 'filter'] },
);
const ofJson = fc
  .tuple(
    common,
    sources,
    fc.array(values, { minLength: 1, maxLength: 3 }),
    fc.record(
      { time: times, quality: fc.record({ at: pointers, map: fc.constant({ ok: 1, bad: 4, none: 9 }) }) },
      { requiredKeys: [] },
    ),
  )
  .map(([rule, sensor, all, more]) => {
    const needsKey = sensor.from === 'key' || sensor.from === 'member';
    // members tell two temperatures apart
    const fitted = all.map((v, i) => (needsKey || i > 0 ? { eachKey: '.', ...v } : v));
    const battery = { at: '/batt', quantity: 'battery', unit: '%EL' };
    return { ...rule, sensor, values: needsKey ? fitted : [...fitted, battery], ...more };
  });
const ofNumbers = fc.tuple(common, outside, plainMeanings, extremes).map(([rule, sensor, meaning, more]) => ({
  ...rule,
  format: 'number',
  sensor,
  values: [{ ...meaning, ...more }],
}));
const ofSenml = fc
  .tuple(common, outside, fc.constantFrom('senml-json', 'senml-cbor'))
  .map(([rule, sensor, format]) => ({ ...rule, format, sensor }));
const rules: fc.Arbitrary<object> = fc.oneof(
  { weight: 7, arbitrary: ofJson },
  { weight: 2, arbitrary: ofNumbers },
  { weight: 1, arbitrary: ofSenml },
);
const scalars = fc.oneof(
  fc.double(),
  fc.integer(),
  fc.constantFrom(
    63.5,
    1_759_999_990,
    '63,5',
    '145.4',
    'C',
    'K',
    'bad',
    '2026-10-25T02:30:00',
    '',
    'nan',
    -127,
    85,
  ),
  fc.constant(null),
  fc.boolean(),
  fc.string(),
);
const nones = fc.constantFrom(null, '', 'nan');
const numbers = fc.oneof(fc.double({ min: -100, max: 300, noNaN: true }), scalars, nones);
const likely = fc.record(
  {
    t: fc.oneof(
      numbers,
      fc.array(numbers, { maxLength: 3 }),
      fc.record({ ch1: numbers, ch2: numbers }, { requiredKeys: [] }),
    ),
    ts: scalars,
    id: fc.constantFrom('left', 'x y', 7, '<b>'),
    unit: fc.constantFrom('C', 'K', 'R'),
    batt: fc.oneof(
      { weight: 3, arbitrary: fc.integer({ min: 0, max: 100 }) },
      { weight: 1, arbitrary: numbers },
    ),
  },
  { requiredKeys: ['t', 'batt'] },
);
const { node } = fc.letrec<{ node: unknown }>((tie) => ({
  node: fc.oneof(
    { maxDepth: 4, withCrossShrink: true },
    scalars,
    fc.array(tie('node'), { maxLength: 4 }),
    fc.dictionary(names, tie('node'), { maxKeys: 5 }),
  ),
}));
const encoder = new TextEncoder();
const payloads = fc.oneof(
  { weight: 8, arbitrary: likely.map((json) => encoder.encode(JSON.stringify(json))) },
  {
    weight: 2,
    arbitrary: fc.double({ min: -100, max: 300, noNaN: true }).map((n) => encoder.encode(String(n))),
  },
  { weight: 3, arbitrary: node.map((json) => encoder.encode(JSON.stringify(json))) },
  { weight: 2, arbitrary: fc.json().map((text) => encoder.encode(text)) },
  { weight: 1, arbitrary: fc.string().map((text) => encoder.encode(text)) },
  { weight: 1, arbitrary: fc.uint8Array({ maxLength: 200 }) },
);

describe('any message by any rule', () => {
  it('gives only what can be stored and never an exception', { timeout: 120_000 }, () => {
    const came = { readings: 0, sides: 0, unplugged: 0, rejects: 0 };
    fc.assert(
      fc.property(
        rules,
        payloads,
        fc.constantFrom('yard/left', 'yard/left', 'yard/left', 'yard/left', 'yard/x y', 'else'),
        fc.constantFrom(false, false, false, true),
        (rule, payload, topic, retained) => {
          const parsed = parseMapping({ version: 1, rules: [rule] });
          if (!parsed.ok) throw new Error(JSON.stringify(parsed.problems));
          const isSenml = parsed.mapping.rules[0]?.values.length === 0;
          const message = {
            topic,
            payload,
            receivedMs: NOW_MS,
            retained,
            userProperties: { id: 'p', t: ['q'] },
          };
          const { readings, sides, unplugged, rejects } = understand(message, new RuleSet(parsed.mapping));
          for (const { sensorId, tempC, atMs, quality, reasons } of readings) {
            expect(SENSOR_ID_PATTERN.test(sensorId)).toBe(true);
            expect(Number.isFinite(tempC) && Math.abs(tempC) <= 1e6).toBe(true);
            expect(Number.isSafeInteger(atMs) && Math.abs(atMs) <= 8.64e15).toBe(true);
            expect(QUALITIES).toContain(quality);
            // nothing is marked down without saying why, and nothing that is good has a reason
            expect(quality === 1).toBe(reasons === 0);
            if (quality <= 3) expect(tempC >= -60 && tempC <= 1_200).toBe(true);
          }
          for (const side of sides)
            expect(
              SENSOR_ID_PATTERN.test(side.sensorId) &&
                Number.isFinite(side.value) &&
                Number.isSafeInteger(side.atMs),
            ).toBe(true);
          for (const { sensorId } of unplugged) expect(SENSOR_ID_PATTERN.test(sensorId)).toBe(true);
          for (const reject of rejects) expect(reject.payload.length).toBeLessThanOrEqual(200);
          if (!isSenml) expect(new Set(readings.map((r) => r.sensorId)).size).toBe(readings.length);
          came.readings += readings.length;
          came.sides += sides.length;
          came.unplugged += unplugged.length;
          came.rejects += rejects.length;
        },
      ),
      { numRuns: RUNS },
    );
    // the generator reaches every outcome: otherwise it would prove little
    for (const kind of ['readings', 'sides', 'unplugged', 'rejects'] as const)
      expect([kind, came[kind] > 200]).toEqual([kind, true]);
  });
});
