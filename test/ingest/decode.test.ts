import { describe, expect, it } from 'vitest';
import { REASON } from '../../server/contract/reading.ts';
import { decode } from '../../server/ingest/decode.ts';
import type { Decoded } from '../../server/ingest/message.ts';

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
        nextWithinS: null,
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
      nextWithinS: null,
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
    const pack = '[{"bn":"box:","n":"t","u":"Cel","v":4},{"n":"h","u":"%RH","v":50},{"n":"i","u":"A","v":1}]';
    const { readings, sides, rejects } = heard(pack, { topic: 'tongside/senml/any' });
    expect(readings.map((r) => r.sensorId)).toEqual(['box:t']);
    expect(sides.map((s) => [s.sensorId, s.quantity])).toEqual([['box:h', 'humidity']]);
    expect(rejects.map((r) => r.reason)).toEqual(['not-a-temperature']);
  });

  it.each(['tongside/reading/left', 'tongside/senml', 'tongside/senml/any'])(
    'reads a SenML pack in CBOR on %s',
    (topic) => {
      // [{0: "p1", 1: "Cel", 6: 1700000000, 2: 63.5}], encoded by hand: RFC 8428 section 6, RFC 8949
      const payload = Uint8Array.from(Buffer.from('81a400627031016343656c061a6553f10002f953f0', 'hex'));
      const { readings, rejects } = heard(payload, { topic });
      expect(rejects).toEqual([]);
      expect(readings).toMatchObject([
        { sensorId: 'p1', tempC: 63.5, atMs: 1_700_000_000_000, timeSource: 'device', quality: 1 },
      ]);
    },
  );

  it('gives records in CBOR without a name the name of the topic', () => {
    const payload = Uint8Array.from(Buffer.from('9fa10218 3fff'.replace(' ', ''), 'hex'));
    expect(heard(payload).readings).toMatchObject([{ sensorId: 'left', tempC: 63 }]);
  });

  it('has no negative zero', () => {
    for (const payload of ['-0', '-0.001', '{"value":-0.0}'])
      expect(Object.is(heard(payload).readings[0]?.tempC, 0)).toBe(true);
  });

  it('ignores a byte order mark', () => {
    expect(heard('\u{FEFF}63.5').readings[0]?.tempC).toBe(63.5);
    expect(heard('\u{FEFF}{"value":63.5}').readings[0]?.tempC).toBe(63.5);
  });

  it('does not take Fahrenheit in SenML, where it is not a unit (RFC 8428 12.1)', () => {
    expect(heard('[{"u":"degF","v":100}]')).toMatchObject({
      readings: [],
      rejects: [{ reason: 'not-a-temperature' }],
    });
  });

  it.each([
    '1234',
    '"2025-10-09T08:53:10"',
    '"2025-10-09 08:53"',
    '"just now"',
    'true',
    '[1]',
    '-1',
    '1e400',
  ])('keeps a reading whose time cannot be read, with the moment of arrival and suspect: %s', (time) => {
    const { readings, rejects } = heard(`{"value":60,"time":${time}}`);
    expect(rejects).toEqual([]);
    expect(readings).toMatchObject([
      { tempC: 60, atMs: NOW_MS, quality: 3, reasons: REASON.clock, timeSource: 'arrival' },
    ]);
  });

  it('takes a time of null for none', () => {
    expect(heard('{"value":60,"time":null}').readings).toMatchObject([
      { atMs: NOW_MS, quality: 1, reasons: 0, timeSource: 'arrival' },
    ]);
  });

  it('does not pass a retained value without a time for a live one', () => {
    expect(heard('63.5', { retained: true }).readings[0]).toMatchObject({ quality: 3, reasons: 128 });
    const timed = heard(JSON.stringify({ value: 63.5, time: NOW_MS - 60_000 }), { retained: true });
    expect(timed.readings[0]).toMatchObject({ quality: 1, atMs: NOW_MS - 60_000 });
  });
});

describe('a probe on its own topic', () => {
  it.each([
    'null',
    'nan',
    ' NaN ',
    '-Infinity',
    '""',
    '"nan"',
    '{"value":null}',
    '{"value":""}',
    '{"value":"nan"}',
    '{"value":null,"unit":"anything","time":1234}',
  ])('says that nothing is plugged in with %s', (payload) => {
    expect(heard(payload)).toEqual({
      readings: [],
      sides: [],
      unplugged: [{ sensorId: 'left', receivedMs: NOW_MS }],
      rejects: [],
    });
  });

  it('does not say so now with what the broker had kept, unless that has a time of its own', () => {
    const nothing = { readings: [], sides: [], unplugged: [], rejects: [] };
    for (const payload of ['null', '{"value":null}', '{"value":null,"time":1234}'])
      expect(heard(payload, { retained: true })).toEqual(nothing);
    const timed = JSON.stringify({ value: null, time: NOW_MS - 1_000 });
    expect(heard(timed, { retained: true }).unplugged).toHaveLength(1);
  });

  it('that sends nothing at all, or no value at all, has not said so', () => {
    for (const payload of ['', '  ', '{}', '{"temp":5}', '{"time":1760000000}'])
      expect(heard(payload).unplugged).toEqual([]);
  });
});

describe('payloads that cannot be understood', () => {
  it.each([
    ['empty', ''],
    ['empty', '   '],
    ['not-a-number', 'abc'],
    ['not-a-number', '63abc'],
    ['not-a-number', '63,5'],
    ['not-finite', '1e999'],
    ['wrong-json-type', '{"value":"63"}'],
    ['wrong-json-type', '{"temp":63}'],
    ['wrong-json-type', '"63"'],
    ['wrong-json-type', 'true'],
    ['not-a-number', '{"value":'],
    ['unknown-unit', '{"value":63,"unit":"F"}'],
    ['bad-senml', '[{"v":"63"}]'],
    ['out-of-range', '-127'],
    ['out-of-range', '32767'],
    ['not-finite', '{"value":1e400}'],
    ['not-finite', '{"value":-1e400}'],
    ['too-large', 'x'.repeat(10_000)],
    ['too-large', '6'.repeat(8_193)],
    ['too-deep', `${'['.repeat(17)}${']'.repeat(17)}`],
    ['too-deep', `{"value":63,"more":${'['.repeat(16)}${']'.repeat(16)}}`],
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

  it.each([
    ['not-a-number', 'ff'], // no UTF-8 and no array
    ['not-a-number', 'fb404fc00000000000'], // a bare CBOR number: only packs are read
    ['not-a-number', 'a10218 3f'], // a CBOR map alone
    ['not-a-number', 'c080'], // a NUL in two bytes: overlong UTF-8, refused by RFC 3629 section 3
    ['bad-senml', '80'],
    ['bad-senml', '9bffffffffffffffff'],
    ['bad-senml', '81a102c249010000000000000000'],
    ['too-deep', '81'.repeat(17)],
    ['too-deep', `9f${'bf00ff'.repeat(17)}`],
  ])('are kept as "%s": the bytes %s', (reason, hex) => {
    const { readings, rejects } = heard(Uint8Array.from(Buffer.from(hex.replace(' ', ''), 'hex')));
    expect(readings).toEqual([]);
    expect(rejects.map((r) => r.reason)).toEqual([reason]);
  });

  it('are kept with the first 200 bytes, not with a view on the whole packet', () => {
    const packet = Buffer.alloc(100_000, 'x');
    const [reject] = heard(packet).rejects;
    expect(reject?.payload).toHaveLength(200);
    expect(reject?.payload.buffer.byteLength).toBe(200);
  });

  it('are shown with their topic cut, and with a mark for what cannot be shown', () => {
    const { rejects } = heard('63', { topic: `elsewhere/\u{7}${'x'.repeat(400)}` });
    expect(rejects[0]?.topic).toHaveLength(200);
    expect(rejects[0]?.topic.startsWith('elsewhere/\u{FFFD}xx')).toBe(true);
    expect(heard('[{"n":"a\\ud800b\\u0000","v":1}]').rejects[0]?.detail).toBe(
      'record 0: the name "a\u{FFFD}b\u{FFFD}" is not allowed',
    );
  });

  it('do not hold up the others: a long run of digits is refused at once', () => {
    const tries = [1, 2, 3].map(() => {
      const startMs = performance.now();
      heard(`${'1'.repeat(8_000)}x`);
      return performance.now() - startMs;
    });
    // a pattern that tries every way to split the digits takes some hundred ms
    expect(Math.min(...tries)).toBeLessThan(150);
  });
});
