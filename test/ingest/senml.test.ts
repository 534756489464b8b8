import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { resolveSenml, type ResolvedRecord } from '../../server/ingest/senml.ts';

// Packs and resolved values: RFC 8428 (2018) section 5, by its subsection; "own" marks vectors of our own.
const NOW_S = 1_700_000_000;

function resolve(pack: unknown, fallbackName: string | null = null): ResolvedRecord[] {
  const result = resolveSenml(pack, NOW_S, fallbackName);
  if (!result.ok) throw new Error(result.reason);
  return result.records;
}

const flat = (records: ResolvedRecord[]) => records.map((r) => [r.name, r.unit, r.timeS, r.value]);

describe('SenML packs of RFC 8428 section 5', () => {
  it('reads a single data point as measured now (5.1.1)', () => {
    const records = resolve([{ n: 'urn:dev:ow:10e2073a01080063', u: 'Cel', v: 23.1 }]);
    expect(flat(records)).toEqual([['urn:dev:ow:10e2073a01080063', 'Cel', NOW_S, 23.1]]);
    expect(records[0]?.hasOwnTime).toBe(false);
  });

  it('puts the base name before each name (5.1.2, first pack)', () => {
    const pack = [
      { bn: 'urn:dev:ow:10e2073a01080063:', n: 'voltage', u: 'V', v: 120.1 },
      { n: 'current', u: 'A', v: 1.2 },
    ];
    expect(flat(resolve(pack))).toEqual([
      ['urn:dev:ow:10e2073a01080063:voltage', 'V', NOW_S, 120.1],
      ['urn:dev:ow:10e2073a01080063:current', 'A', NOW_S, 1.2],
    ]);
  });

  it('adds base time, lets a unit override the base unit and sorts by time (5.1.2, second pack)', () => {
    const pack = [
      {
        bn: 'urn:dev:ow:10e2073a0108006:',
        bt: 1.276020076001e9,
        bu: 'A',
        bver: 5,
        n: 'voltage',
        u: 'V',
        v: 120.1,
      },
      { n: 'current', t: -5, v: 1.2 },
      { n: 'current', t: -4, v: 1.3 },
      { n: 'current', t: -3, v: 1.4 },
      { n: 'current', t: -2, v: 1.5 },
      { n: 'current', t: -1, v: 1.6 },
      { n: 'current', v: 1.7 },
    ];
    const records = flat(resolve(pack));
    expect(records).toHaveLength(7);
    expect(records[0]).toEqual(['urn:dev:ow:10e2073a0108006:current', 'A', 1276020071.001, 1.2]);
    expect(records.slice(-2)).toEqual([
      ['urn:dev:ow:10e2073a0108006:voltage', 'V', 1276020076.001, 120.1],
      ['urn:dev:ow:10e2073a0108006:current', 'A', 1276020076.001, 1.7],
    ]);
  });

  it('adds a base time of seconds to each record (5.1.2, third pack)', () => {
    const values = [21.2, 21.3, 21.4, 21.4, 21.5, 21.5, 21.5, 21.6, 21.7];
    const pack = values.map((v, i) =>
      i === 0 ? { bn: 'urn:dev:ow:10e2073a01080063', bt: 1.320067464e9, bu: '%RH', v } : { t: i * 10, v },
    );
    const records = flat(resolve(pack));
    expect(records[1]).toEqual(['urn:dev:ow:10e2073a01080063', '%RH', 1320067474, 21.3]);
    expect(records.map((r) => r[2])).toEqual(values.map((_, i) => 1320067464 + i * 10));
  });

  it('resolves multiple measurements to the list that the standard prints (5.1.3 to 5.1.4)', () => {
    const pack = [
      { bn: 'urn:dev:ow:10e2073a01080063', bt: 1.320067464e9, bu: '%RH', v: 20 },
      { u: 'lon', v: 24.30621 },
      { u: 'lat', v: 60.07965 },
      { t: 60, v: 20.3 },
      { u: 'lon', t: 60, v: 24.30622 },
      { u: 'lat', t: 60, v: 60.07965 },
      { t: 120, v: 20.7 },
      { u: 'lon', t: 120, v: 24.30623 },
      { u: 'lat', t: 120, v: 60.07966 },
      { u: '%EL', t: 150, v: 98 },
      { t: 180, v: 21.2 },
      { u: 'lon', t: 180, v: 24.30628 },
      { u: 'lat', t: 180, v: 60.07967 },
    ];
    expect(flat(resolve(pack)).map(([, unit, timeS, value]) => [unit, timeS, value])).toEqual([
      ['%RH', 1320067464, 20],
      ['lon', 1320067464, 24.30621],
      ['lat', 1320067464, 60.07965],
      ['%RH', 1320067524, 20.3],
      ['lon', 1320067524, 24.30622],
      ['lat', 1320067524, 60.07965],
      ['%RH', 1320067584, 20.7],
      ['lon', 1320067584, 24.30623],
      ['lat', 1320067584, 60.07966],
      ['%EL', 1320067614, 98],
      ['%RH', 1320067644, 21.2],
      ['lon', 1320067644, 24.30628],
      ['lat', 1320067644, 60.07967],
    ]);
  });

  it('reads the other data types as they are (5.1.5)', () => {
    const pack = [
      { bn: 'urn:dev:ow:10e2073a01080063:', n: 'temp', u: 'Cel', v: 23.1 },
      { n: 'label', vs: 'Machine Room' },
      { n: 'open', vb: false },
      { n: 'nfv-reader', vd: 'aGkgCg' },
    ];
    const records = resolve(pack);
    expect(records.map((r) => r.value)).toEqual([23.1, 'Machine Room', false, null]);
    expect([...Buffer.from(records[3]?.data ?? '', 'base64url')]).toEqual([104, 105, 32, 10]);
  });

  it('keeps the base time for the records of a second base name (5.1.6)', () => {
    const pack = [
      { bn: '2001:db8::2/', bt: 1.320078429e9, n: 'temperature', u: 'Cel', v: 25.2 },
      { n: 'humidity', u: '%RH', v: 30 },
      { bn: '2001:db8::1/', n: 'temperature', u: 'Cel', v: 12.3 },
      { n: 'humidity', u: '%RH', v: 67 },
    ];
    expect(flat(resolve(pack))).toEqual([
      ['2001:db8::2/temperature', 'Cel', 1320078429, 25.2],
      ['2001:db8::2/humidity', '%RH', 1320078429, 30],
      ['2001:db8::1/temperature', 'Cel', 1320078429, 12.3],
      ['2001:db8::1/humidity', '%RH', 1320078429, 67],
    ]);
  });

  it('emits nothing for a record of base fields alone (5.1.7)', () => {
    const pack = [
      { bn: 'urn:dev:ow:10e2073a01080063:' },
      { n: 'temp', u: 'Cel', v: 23.1 },
      { n: 'heat', u: '/', v: 1 },
      { n: 'fan', u: '/', v: 0 },
    ];
    expect(resolve(pack).map((r) => r.name.split(':').at(-1))).toEqual(['temp', 'heat', 'fan']);
  });
});

describe('SenML rules', () => {
  it('takes a time below 2^28 as relative and from there as absolute (4.5.3)', () => {
    const at = (t: number) => resolveSenml([{ n: 'p1', t, v: 1 }], 1000);
    expect(at(268_435_455)).toMatchObject({ records: [{ timeS: 268_436_455 }] });
    expect(at(268_435_456)).toMatchObject({ records: [{ timeS: 268_435_456 }] });
    expect(new Date(2 ** 28 * 1000).toISOString()).toBe('1978-07-04T21:24:16.000Z');
  });

  it('tests the sum of base time and time, not its parts (4.5.3)', () => {
    expect(resolve([{ bn: 'p', bt: 268_435_450, t: 10, v: 1 }])[0]?.timeS).toBe(268_435_460);
  });

  it('adds the base value to each value (4.5.4)', () => {
    const pack = [
      { bn: 'p', bt: 1_700_000_000, bu: 'Cel', bv: 60, v: 3.5 },
      { t: 1, v: -0.25 },
    ];
    expect(resolve(pack).map((r) => r.value)).toEqual([63.5, 59.75]);
  });

  it('accepts a sum without a value, and ignores labels it does not know (4.2, 4.4)', () => {
    expect(resolve([{ bn: 'p', bt: 1_700_000_000, s: 42, u: 'J' }])[0]).toMatchObject({
      sum: 42,
      value: null,
    });
    expect(resolve([{ n: 'p', v: 1, foo: 1, bver: 10 }])).toHaveLength(1);
  });

  it('gives records without a name the name of the topic', () => {
    expect(resolve([{ u: 'Cel', v: 63.5 }], 'left')[0]?.name).toBe('left');
  });

  it.each([
    ['a label that must be understood', [{ n: 'p', v: 1, foo_: 1 }]],
    ['a newer version', [{ n: 'p', v: 1, bver: 11 }]],
    [
      'two versions',
      [
        { n: 'p', v: 1, bver: 9 },
        { n: 'q', v: 1, bver: 10 },
      ],
    ],
    ['text where a number belongs', [{ n: 'p', v: '63' }]],
    ['an empty pack', []],
    ['no pack at all', { n: 'p', v: 1 }],
  ])('refuses the whole pack for %s', (_what, pack) => {
    expect(resolveSenml(pack, NOW_S).ok).toBe(false);
  });

  it.each([
    ['two values', { n: 'p', v: 1, vs: 'x' }],
    ['no value', { n: 'p', u: 'Cel' }],
    ['a blank in the name', { n: 'grill 1', v: 1 }],
    ['a name that begins with a dash', { n: '_x', v: 1 }],
  ])('skips the one record with %s and keeps the others', (_what, record) => {
    const result = resolveSenml([record, { n: 'ok', v: 2 }], NOW_S);
    expect(result).toMatchObject({ ok: true, records: [{ name: 'ok' }] });
    expect(result.ok && result.skipped).toHaveLength(1);
  });

  it('never throws, whatever the JSON is', () => {
    fc.assert(
      fc.property(fc.jsonValue(), (json) => {
        const result = resolveSenml(json, NOW_S, 'left');
        expect(typeof result.ok).toBe('boolean');
      }),
      { numRuns: 2_000 },
    );
  });
});
