import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decode, type Decoded } from '../../server/ingest/decode.ts';

const NOW_MS = 1_760_000_000_000;

function heard(
  payload: string | Uint8Array,
  { topic = 'tongside/reading/left', retained = false } = {},
): Decoded {
  const bytes = typeof payload === 'string' ? new TextEncoder().encode(payload) : payload;
  return decode({ topic, payload: bytes, receivedMs: NOW_MS, retained });
}

describe('payloads on the default topics', () => {
  it.each([
    ['63.5', 63.5],
    [' 63.5 ', 63.5],
    ['-4', -4],
    ['+.5e1', 5],
    ['1e2', 100],
  ])('reads the bare number "%s" as degrees Celsius, measured on arrival', (payload, tempC) => {
    const { readings, rejects } = heard(payload);
    expect(rejects).toEqual([]);
    expect(readings).toEqual([
      {
        sensorId: 'left',
        tempC,
        atMs: NOW_MS,
        receivedMs: NOW_MS,
        quality: 1,
        reasons: 0,
        timeSource: 'arrival',
      },
    ]);
  });

  // exact by definition: NIST SP 811 (2008) B.8, and 273.15 K = 0 degC (SI Brochure, 9th ed., 2019)
  it.each([
    ['Cel', 63.5, 63.5],
    ['degF', 32, 0],
    ['degF', 165, 73.89],
    ['degF', -40, -40],
    ['K', 277.65, 4.5],
  ])('converts %s', (unit, value, tempC) => {
    expect(heard(JSON.stringify({ value, unit })).readings[0]?.tempC).toBeCloseTo(tempC, 2);
  });

  it.each([
    [1_759_999_990, 1_759_999_990_000],
    [1_759_999_990_500, 1_759_999_990_500],
    ['2025-10-09T08:53:10Z', Date.UTC(2025, 9, 9, 8, 53, 10)],
    ['2025-10-09T10:53:10.25+02:00', Date.UTC(2025, 9, 9, 8, 53, 10, 250)],
  ])('takes the time %s from the payload', (time, atMs) => {
    expect(heard(JSON.stringify({ value: 4, time })).readings[0]).toMatchObject({
      atMs,
      timeSource: 'device',
    });
  });

  it('reads a SenML pack on a reading topic, records without a name meaning the topic', () => {
    const { readings } = heard('[{"u":"Cel","v":4.5,"t":-10},{"n":"other","u":"K","v":300}]');
    expect(readings.map((r) => [r.sensorId, r.tempC, r.atMs])).toEqual([
      ['left', 4.5, NOW_MS - 10_000],
      ['other', 26.85, NOW_MS],
    ]);
  });

  it('reads a SenML pack on the SenML topic and says what was no temperature', () => {
    const pack = '[{"bn":"box:","n":"t","u":"Cel","v":4},{"n":"h","u":"%RH","v":50}]';
    const { readings, rejects } = heard(pack, { topic: 'tongside/senml/any' });
    expect(readings.map((r) => r.sensorId)).toEqual(['box:t']);
    expect(rejects.map((r) => r.reason)).toEqual(['not-a-temperature']);
  });

  it('does not take Fahrenheit in SenML, where it is not a unit (RFC 8428 12.1)', () => {
    expect(heard('[{"u":"degF","v":100}]')).toMatchObject({
      readings: [],
      rejects: [{ reason: 'not-a-temperature' }],
    });
  });

  it('does not pass a retained value without a time for a live one', () => {
    expect(heard('63.5', { retained: true }).readings[0]).toMatchObject({ quality: 3, reasons: 128 });
    const timed = heard(JSON.stringify({ value: 63.5, time: NOW_MS - 60_000 }), { retained: true });
    expect(timed.readings[0]).toMatchObject({ quality: 1, atMs: NOW_MS - 60_000 });
  });
});

describe('payloads that cannot be understood', () => {
  it.each([
    ['empty', ''],
    ['empty', '   '],
    ['not-a-number', 'abc'],
    ['not-a-number', '63abc'],
    ['not-a-number', '63,5'],
    ['not-finite', 'NaN'],
    ['not-finite', '-Infinity'],
    ['not-finite', '1e999'],
    ['wrong-json-type', '{"value":"63"}'],
    ['wrong-json-type', '{"value":null}'],
    ['wrong-json-type', '{"temp":63}'],
    ['wrong-json-type', '"63"'],
    ['wrong-json-type', 'true'],
    ['not-a-number', '{"value":'],
    ['unknown-unit', '{"value":63,"unit":"F"}'],
    ['bad-time', '{"value":63,"time":"2025-10-09 08:53"}'],
    ['bad-time', '{"value":63,"time":12345}'],
    ['bad-senml', '[{"v":"63"}]'],
    ['out-of-range', '-127'],
    ['out-of-range', '32767'],
    ['too-large', 'x'.repeat(10_000)],
  ])('are kept as "%s": %s', (reason, payload) => {
    const { readings, rejects } = heard(payload);
    expect(readings).toEqual([]);
    expect(rejects.map((r) => r.reason)).toEqual([reason]);
    expect(rejects[0]?.topic).toBe('tongside/reading/left');
  });

  it.each(['tongside/reading/', 'tongside/reading/<b>', `tongside/reading/${'x'.repeat(200)}`])(
    'are kept as a bad name on %s',
    (topic) => {
      expect(heard('63', { topic }).rejects.map((r) => r.reason)).toEqual(['bad-name']);
    },
  );

  it('are kept as an unknown topic elsewhere', () => {
    expect(heard('63', { topic: 'yard/left' }).rejects.map((r) => r.reason)).toEqual(['unknown-topic']);
  });

  it('never throw and never become a number that is not finite, whatever the bytes', () => {
    const topics = fc.constantFrom('tongside/reading/left', 'tongside/senml', 'tongside/senml/x', 'else');
    const payloads = fc.oneof(
      fc.uint8Array({ maxLength: 300 }),
      fc.json().map((text) => new TextEncoder().encode(text)),
      fc.double().map((n) => new TextEncoder().encode(String(n))),
    );
    fc.assert(
      fc.property(topics, payloads, fc.boolean(), (topic, payload, retained) => {
        const { readings, rejects } = decode({ topic, payload, receivedMs: NOW_MS, retained });
        for (const r of readings) expect(Number.isFinite(r.tempC) && Number.isInteger(r.atMs)).toBe(true);
        for (const r of rejects) expect(r.payload.length).toBeLessThanOrEqual(200);
      }),
      { numRuns: 5_000 },
    );
  });
});
