import { describe, expect, it } from 'vitest';
import { REASON } from '../../../server/contract/reading.ts';
import { CELSIUS, heard, NOW_MS, oneRule, oneValue, rulesOf } from './rules.ts';

const FAHRENHEIT = rulesOf({
  filter: 'yard/probe/+/f',
  format: 'number',
  sensor: { from: 'topic', level: 2 },
  values: [{ quantity: 'temperature', unit: 'degF', missing: [-999, 'open'] }],
});
const CHANNELS = rulesOf({
  filter: 'bench/+/state',
  sensor: { from: 'topic', level: 1 },
  time: { as: 'epoch-s', at: '/ts' },
  values: [
    { ...CELSIUS, at: '/t', eachKey: '^ch[0-9]+$', missing: [null, -127, 85] },
    { at: '/batt', quantity: 'battery', unit: '%EL' },
  ],
});
const UNIT_FIELD = rulesOf({
  filter: 'box',
  sensor: { from: 'json', at: '/id' },
  time: { as: 'rfc3339', at: '/when' },
  values: [
    {
      at: '/temp/value',
      quantity: 'temperature',
      unit: { from: 'json', at: '/temp/unit', map: { C: 'Cel', F: 'degF', K: 'K' } },
    },
  ],
});

/* The vectors MAP-1 to MAP-11 are ours; MAP-12 is in test/contract/mapping.test.ts. 145.4 degF = 63 degC and
   277.65 K = 4.5 degC by NIST SP 811 (2008) B.8 and the SI Brochure, 9th ed. (2019). */
describe('the mapping vectors', () => {
  it('MAP-1: a bare number in Fahrenheit, its sensor in the topic', () => {
    expect(heard(FAHRENHEIT, { topic: 'yard/probe/left/f', payload: '145.4' })).toEqual({
      readings: [
        {
          sensorId: 'left',
          tempC: 63,
          atMs: NOW_MS,
          receivedMs: NOW_MS,
          quality: 1,
          reasons: 0,
          timeSource: 'arrival',
          nextWithinS: null,
        },
      ],
      sides: [],
      unplugged: [],
      rejects: [],
    });
  });

  it('MAP-2: a number that stands for none is a missing reading, nan nothing plugged in, no payload a reject', () => {
    const topic = 'yard/probe/left/f';
    expect(heard(FAHRENHEIT, { topic, payload: ' -999 ' }).readings).toMatchObject([
      { tempC: -999, quality: 9, reasons: REASON.sentinel },
    ]);
    for (const payload of ['nan', 'open']) {
      expect(heard(FAHRENHEIT, { topic, payload })).toEqual({
        readings: [],
        sides: [],
        unplugged: [{ sensorId: 'left', receivedMs: NOW_MS }],
        rejects: [],
      });
    }
    for (const payload of ['', '  ']) {
      const { rejects, ...rest } = heard(FAHRENHEIT, { topic, payload });
      expect(rejects.map((r) => r.reason)).toEqual(['empty']);
      expect(rest).toEqual({ readings: [], sides: [], unplugged: [] });
    }
  });

  it('MAP-3: a value that the broker had kept is suspect', () => {
    const kept = heard(FAHRENHEIT, { topic: 'yard/probe/left/f', payload: '145.4', retained: true });
    expect(kept.readings).toMatchObject([
      { tempC: 63, quality: 3, reasons: REASON.retained, timeSource: 'arrival' },
    ]);
  });

  it('MAP-4: channels by their keys, a time of their own, and the battery beside them', () => {
    const payload = { ts: 1_759_999_990.25, t: { ch1: 63.5, ch2: -127, ch3: null, label: 'x' }, batt: 87 };
    const atMs = 1_759_999_990_250;
    expect(heard(CHANNELS, { topic: 'bench/b1/state', payload })).toMatchObject({
      readings: [
        { sensorId: 'b1.ch1', tempC: 63.5, atMs, quality: 1, reasons: 0, timeSource: 'device' },
        { sensorId: 'b1.ch2', tempC: -127, atMs, quality: 9, reasons: REASON.sentinel },
      ],
      unplugged: [{ sensorId: 'b1.ch3' }],
      sides: [{ sensorId: 'b1', quantity: 'battery', value: 87, unit: '%EL', atMs, receivedMs: NOW_MS }],
      rejects: [],
    });
  });

  it('MAP-5: a time that cannot be read is that of arrival, and the reading suspect', () => {
    const payload = { ts: 'bad', t: { ch1: 63.5 } };
    expect(heard(CHANNELS, { topic: 'bench/b1/state', payload })).toMatchObject({
      readings: [
        { sensorId: 'b1.ch1', atMs: NOW_MS, timeSource: 'arrival', quality: 3, reasons: REASON.clock },
      ],
      sides: [],
      rejects: [],
    });
  });

  it.each([
    ['MAP-6', '2026-10-25T02:30:00+01:00', { value: 4.5, unit: 'C' }, 1_792_891_800_000],
    ['MAP-7', '2026-10-25T00:30:00Z', { value: 277.65, unit: 'K' }, 1_792_888_200_000],
  ])('%s: the unit in a field, the time with its offset', (_name, when, temp, atMs) => {
    expect(heard(UNIT_FIELD, { topic: 'box', payload: { id: 'box-a', when, temp } }).readings).toMatchObject([
      { sensorId: 'box-a', tempC: 4.5, atMs, quality: 1, timeSource: 'device' },
    ]);
  });

  it.each(['R', 'f', '', null, { C: 1 }, '__proto__', 'constructor'])(
    'MAP-8: the unit %j is not one of the rule: failed, and the number is never converted',
    (unit) => {
      const payload = { id: 'box-a', temp: { value: 500, unit } };
      expect(heard(UNIT_FIELD, { topic: 'box', payload }).readings).toMatchObject([
        { tempC: 500, quality: 4, reasons: REASON.unit },
      ]);
    },
  );

  it('MAP-9: tenths of a degree, and how old they are', () => {
    const rules = rulesOf({
      filter: 'rad/+/raw',
      sensor: { from: 'topic', level: 1 },
      time: { as: 'age-s', at: '/age' },
      values: [{ ...CELSIUS, at: '/v', num: { scale: 0.1 } }],
    });
    expect(heard(rules, { topic: 'rad/p9/raw', payload: { v: 635, age: 4 } }).readings).toMatchObject([
      { sensorId: 'p9', tempC: 63.5, atMs: NOW_MS - 4_000, timeSource: 'age', quality: 1 },
    ]);
  });

  it('MAP-10: a decimal comma', () => {
    const rules = rulesOf({
      filter: 'eu/+',
      format: 'number',
      sensor: { from: 'topic', level: 1 },
      values: [{ ...CELSIUS, num: { decimal: ',' } }],
    });
    expect(heard(rules, { topic: 'eu/k1', payload: '63,5' }).readings).toMatchObject([
      { sensorId: 'k1', tempC: 63.5 },
    ]);
  });

  it('MAP-11: no rule, and no JSON', () => {
    expect(heard(CHANNELS, { topic: 'yard/x', payload: '1' }).rejects.map((r) => r.reason)).toEqual([
      'unknown-topic',
    ]);
    const bad = heard(CHANNELS, { topic: 'bench/b1/state', payload: '{bad' });
    expect(bad.rejects).toMatchObject([
      { topic: 'bench/b1/state', reason: 'not-a-number', detail: 'not JSON' },
    ]);
    expect(bad.readings).toEqual([]);
  });
});

describe('rules and topics', () => {
  it('are tried in order, and the first that matches counts', () => {
    const to = (value: string, filter: string) => ({
      filter,
      format: 'number',
      sensor: { from: 'const', value },
      values: [CELSIUS],
    });
    const rules = rulesOf(to('first', 'yard/+'), to('second', 'yard/left'));
    expect(heard(rules, { topic: 'yard/left', payload: '5' }).readings[0]?.sensorId).toBe('first');
  });

  it('come before the built-in topics, which are read without a rule', () => {
    const rules = rulesOf({
      filter: 'tongside/reading/hot',
      format: 'number',
      sensor: { from: 'const', value: 'hot' },
      values: [{ quantity: 'temperature', unit: 'degF' }],
    });
    expect(heard(rules, { topic: 'tongside/reading/hot', payload: '212' }).readings[0]?.tempC).toBe(100);
    expect(heard(rules, { topic: 'tongside/reading/left', payload: '63.5' }).readings[0]?.tempC).toBe(63.5);
  });

  it('do not read what the server itself publishes', () => {
    const rules = rulesOf({ filter: '#', sensor: { from: 'const', value: 'all' }, values: [CELSIUS] });
    expect(heard(rules, { topic: 'tongside/alarm', payload: { count: 1 } })).toEqual({
      readings: [],
      sides: [],
      unplugged: [],
      rejects: [],
    });
  });
});

describe('the number', () => {
  it.each([
    [{ t: '63.5' }, 63.5],
    [{ t: ' 63.5 ' }, 63.5],
    [{ t: -4 }, -4],
    [{ t: 0 }, 0],
    [{ t: -0.001 }, 0],
  ])('is taken from %j', (payload, tempC) => {
    expect(heard(oneValue({}), { topic: 'box', payload }).readings).toMatchObject([{ tempC, quality: 1 }]);
  });

  it.each([
    ['not-a-number', '{"t":"63abc"}'],
    ['not-a-number', '{"t":"63,5"}'],
    ['not-finite', '{"t":1e999}'],
    ['wrong-json-type', '{"t":true}'],
    ['wrong-json-type', '{"t":[63.5]}'],
    ['wrong-json-type', '{"t":{"v":1}}'],
    ['no-value', '7'],
    ['no-value', '"offline"'],
    ['too-deep', '['.repeat(17) + ']'.repeat(17)],
    ['too-large', JSON.stringify({ t: 5, pad: 'x'.repeat(8_200) })],
    ['out-of-range', '{"t":1e9}'],
  ])('is refused as %s in %s', (reason, payload) => {
    const { readings, rejects } = heard(oneValue({}), { topic: 'box', payload });
    expect(readings).toEqual([]);
    expect(rejects.map((r) => r.reason)).toEqual([reason]);
  });

  it.each(['{}', '{"x":1}', '{"status":"online"}', '{"temp":63.5}', '{"t_":null}'])(
    'whose member the message does not have is told, and unplugs nothing: %s',
    (payload) => {
      const { rejects, ...rest } = heard(oneValue({}), { topic: 'box', payload });
      expect(rest).toEqual({ readings: [], sides: [], unplugged: [] });
      expect(rejects).toMatchObject([{ reason: 'no-value', detail: 'nothing at /t' }]);
    },
  );

  it.each(['{"t":null}', '{"t":""}', '{"t":" "}', '{"t":"NaN"}', '{"t":"-inf"}'])(
    'that is there and is none says that nothing is plugged in: %s',
    (payload) => {
      expect(heard(oneValue({}), { topic: 'box', payload })).toEqual({
        readings: [],
        sides: [],
        unplugged: [{ sensorId: 'one', receivedMs: NOW_MS }],
        rejects: [],
      });
    },
  );

  it('that does not exist as a property of every object is not found in the payload', () => {
    for (const at of ['/__proto__', '/constructor', '/toString'])
      expect(heard(oneValue({ at }), { topic: 'box', payload: {} }).rejects).toMatchObject([
        { reason: 'no-value' },
      ]);
  });

  it('is scaled and moved', () => {
    const rules = oneValue({ num: { scale: 0.01, offset: -40 } });
    expect(heard(rules, { topic: 'box', payload: { t: 10_350 } }).readings[0]?.tempC).toBe(63.5);
  });

  it.each([
    [5, 1, 0],
    [90, 1, 0],
    [90.1, 4, REASON.gross],
    [-0.1, 4, REASON.gross],
  ])('outside of what can be true has failed: %d', (t, quality, reasons) => {
    expect(heard(oneValue({ valid: [0, 90] }), { topic: 'box', payload: { t } }).readings).toMatchObject([
      { tempC: t, quality, reasons },
    ]);
  });

  it.each([-127, 1_372])('that neither food nor fire can have has failed without any bounds: %d', (t) => {
    expect(heard(oneValue({}), { topic: 'box', payload: { t } }).readings).toMatchObject([
      { quality: 4, reasons: REASON.gross },
    ]);
  });

  it('that stands for none is found before it is scaled', () => {
    const rules = oneValue({ num: { scale: 0.1 }, missing: [32_767] });
    expect(heard(rules, { topic: 'box', payload: { t: 32_767 } }).readings).toMatchObject([
      { tempC: 32_767, quality: 9, reasons: REASON.sentinel },
    ]);
  });

  it('of members is looked for in so many of them and no more', () => {
    const payload = Object.fromEntries(Array.from({ length: 300 }, (_, i) => [`ch${i}`, 5]));
    const { readings, rejects } = heard(oneRule({ values: [{ ...CELSIUS, eachKey: '^ch' }] }), {
      topic: 'box',
      payload,
    });
    expect(readings).toHaveLength(64);
    expect(rejects).toMatchObject([{ reason: 'too-many-sensors' }]);
  });

  it.each([
    [{ t: { other: 5 } }, 'no member of /t matches ^ch'],
    [{ t: 5 }, 'nothing with members at /t'],
    [{}, 'nothing with members at /t'],
  ])('of members that are not there is told: %j', (payload, detail) => {
    expect(heard(oneValue({ eachKey: '^ch' }), { topic: 'box', payload }).rejects).toMatchObject([
      { reason: 'no-value', detail },
    ]);
  });

  it('of a member whose name is too long is left out', () => {
    const payload = { t: { [`ch${'1'.repeat(63)}`]: 5, ch1: 6 } };
    expect(
      heard(oneValue({ eachKey: '^ch' }), { topic: 'box', payload }).readings.map((r) => r.tempC),
    ).toEqual([6]);
  });
});
