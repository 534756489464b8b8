import { describe, expect, it } from 'vitest';
import { REASON } from '../../../server/contract/reading.ts';
import { CELSIUS, heard, NOW_MS, oneRule, oneValue } from './rules.ts';

/* The vectors MAP-1 to MAP-11 are ours; MAP-12 is in test/contract/mapping.test.ts. 145.4 degF = 63 degC and
   277.65 K = 4.5 degC by NIST SP 811 (2008) B.8 and the SI Brochure, 9th ed. (2019). */
describe('sensors that send something else than a temperature', () => {
  const read = (value: object, payload: unknown) =>
    heard(oneValue(value), { topic: 'box', payload }).readings;

  it('Pt100 and Pt1000: the resistance at 60 degC in IEC 60751 tables is 123.24 ohm', () => {
    expect(read({ unit: 'Ohm', convert: 'pt100' }, { t: 123.24 })[0]?.tempC).toBeCloseTo(60, 1);
    expect(read({ unit: 'Ohm', convert: 'pt1000' }, { t: 1232.4 })[0]?.tempC).toBeCloseTo(60, 1);
  });

  // ITS-90 type K (NIST SRD 60 coefficients), worked example of the PyPI package thermocouples_reference: 49.907928 degC
  it('type K, its cold junction fixed or in the payload', () => {
    const typeK = { unit: 'mV', convert: 'typeK' };
    const fixed = { ...typeK, coldJunction: { from: 'const', valueC: 23 } };
    expect(read(fixed, { t: 1.1 })[0]?.tempC).toBeCloseTo(49.91, 1);
    const sent = { ...typeK, coldJunction: { from: 'json', at: '/cj', unit: 'degF' } };
    expect(read(sent, { t: 1.1, cj: 73.4 })[0]?.tempC).toBeCloseTo(49.91, 1);
    expect(read({ ...fixed, num: { scale: 0.001 } }, { t: 1_100 })[0]?.tempC).toBeCloseTo(49.91, 1);
  });

  it('type K without the temperature of its cold junction is no temperature', () => {
    const rules = oneValue({
      unit: 'mV',
      convert: 'typeK',
      coldJunction: { from: 'json', at: '/cj', unit: 'Cel' },
    });
    for (const payload of [{ t: 1.1 }, { t: 1.1, cj: 'warm' }, { t: 1.1, cj: null }]) {
      const { readings, rejects } = heard(rules, { topic: 'box', payload });
      expect(readings).toEqual([]);
      expect(rejects.map((r) => r.reason)).toEqual(['no-value']);
    }
  });

  // worked from 1/T = 1/T0 + ln(R/R0)/beta: 5 kilohm of a 10 kilohm thermistor with beta 3950 is 41.46 degC
  it('a thermistor by its beta, as a resistance and behind a divider', () => {
    const ntc = { convert: 'ntc-beta', thermistor: { kind: 'beta', r0Ohm: 10_000, beta: 3_950 } };
    expect(read({ ...ntc, unit: 'Ohm' }, { t: 5_000 })[0]?.tempC).toBeCloseTo(41.46, 2);
    const divider = { seriesOhm: 10_000, fullScale: 4_095, sensorTo: 'ground' };
    expect(read({ ...ntc, unit: '1', divider }, { t: 1_365 })[0]?.tempC).toBeCloseTo(41.46, 2);
    expect(
      read({ ...ntc, unit: '1', divider: { ...divider, sensorTo: 'supply' } }, { t: 2_730 })[0]?.tempC,
    ).toBeCloseTo(41.46, 2);
  });

  // coefficients of a 10 kilohm thermistor; worked from 1/T = a + b ln R + c (ln R)^3
  it('a thermistor by Steinhart and Hart', () => {
    const thermistor = { kind: 'sh', a: 1.129148e-3, b: 2.34125e-4, c: 8.76741e-8 };
    expect(read({ unit: 'Ohm', convert: 'ntc-sh', thermistor }, { t: 1_000 })[0]?.tempC).toBeCloseTo(
      87.17,
      2,
    );
  });

  it.each([
    ['a broken wire', { unit: 'Ohm', convert: 'pt100' }, 100_000],
    ['a short circuit', { unit: 'Ohm', convert: 'pt100' }, 0],
    [
      'an open input',
      { unit: '1', convert: 'pt100', divider: { seriesOhm: 100, fullScale: 1_023, sensorTo: 'ground' } },
      1_023,
    ],
  ])('%s has failed', (_name, value, t) => {
    expect(read(value, { t })).toMatchObject([{ tempC: t, quality: 4, reasons: REASON.gross }]);
  });
});

describe('what the device says of its reading', () => {
  const rules = oneRule({
    quality: { at: '/state', map: { ok: 1, raw: 2, drift: 3, error: 4, none: 9, '0': 1 } },
    values: [{ ...CELSIUS, at: '/t' }],
  });

  it.each([
    ['ok', 1, 0],
    [0, 1, 0],
    ['raw', 2, REASON.device],
    ['drift', 3, REASON.device],
    ['error', 4, REASON.device],
    ['none', 9, REASON.device],
    ['never heard of', 3, REASON.device],
    ['toString', 3, REASON.device],
    [{}, 3, REASON.device],
    [null, 1, 0],
  ])('%j gives quality %d', (state, quality, reasons) => {
    expect(heard(rules, { topic: 'box', payload: { state, t: 5 } }).readings).toMatchObject([
      { quality, reasons },
    ]);
  });

  it('is joined with what we find: the worse of both, and all reasons', () => {
    const payload = { state: 'error', t: 5 };
    expect(heard(rules, { topic: 'box', payload, retained: true }).readings).toMatchObject([
      { quality: 4, reasons: REASON.device | REASON.retained },
    ]);
  });
});

describe('values that the broker had kept', () => {
  const timed = (time: object, retained = 'accept-stale') =>
    oneRule({
      time,
      retained,
      values: [
        { ...CELSIUS, at: '/t' },
        { at: '/batt', quantity: 'battery', unit: '%EL' },
      ],
    });

  it('are left out in silence when the rule says so', () => {
    const rules = timed({ as: 'arrival' }, 'ignore');
    expect(heard(rules, { topic: 'box', payload: { t: 5 }, retained: true })).toEqual({
      readings: [],
      sides: [],
      unplugged: [],
      rejects: [],
    });
    expect(heard(rules, { topic: 'box', payload: { t: 5 } }).readings).toHaveLength(1);
  });

  it('count as any other when they carry their own time', () => {
    const rules = timed({ as: 'epoch-s', at: '/at' });
    const payload = { t: 5, at: 1_759_990_000, batt: 50 };
    expect(heard(rules, { topic: 'box', payload, retained: true })).toMatchObject({
      readings: [{ quality: 1, reasons: 0, atMs: 1_759_990_000_000, timeSource: 'device' }],
      sides: [{ value: 50, atMs: 1_759_990_000_000 }],
    });
  });

  it.each(['age-s', 'uptime-s'])(
    'are suspect with %s, which counts from a moment that nobody knows',
    (as) => {
      const payload = { t: 5, at: 30, batt: 50 };
      expect(heard(timed({ as, at: '/at' }), { topic: 'box', payload, retained: true })).toMatchObject({
        readings: [{ quality: 3, reasons: REASON.retained, atMs: NOW_MS, timeSource: 'arrival' }],
        sides: [],
      });
    },
  );

  it('do not say that nothing is plugged in now', () => {
    const { unplugged, rejects } = heard(timed({ as: 'arrival' }), {
      topic: 'box',
      payload: { t: null },
      retained: true,
    });
    expect([unplugged, rejects]).toEqual([[], []]);
  });
});
