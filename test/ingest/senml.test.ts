import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { understandsVersion } from '../../server/ingest/senml-records.ts';
import { resolveSenml, type ResolvedRecord } from '../../server/ingest/senml.ts';
import { EXAMPLES, NOW_S } from '../reference/senml/packs.ts';

// Rules: RFC 8428 (2018) and RFC 9100 (2021), by section; packs that no standard prints are our own.
function resolve(pack: unknown, fallbackName: string | null = null): ResolvedRecord[] {
  const result = resolveSenml(pack, NOW_S, fallbackName);
  if (!result.ok) throw new Error(result.reason);
  return result.records;
}

const rows = (records: ResolvedRecord[]) => records.map((r) => [r.name, r.unit, r.timeS, r.value]);

describe('SenML packs of RFC 8428 section 5', () => {
  it.each(EXAMPLES)('resolve as printed: $section', ({ pack, resolved }) => {
    expect(rows(resolve(pack))).toEqual(resolved);
  });

  it('keep data as its bytes (5.1.5)', () => {
    const reader = resolve(EXAMPLES.find(({ section }) => section === '5.1.5')?.pack).at(-1);
    expect(reader?.data).toEqual(Uint8Array.from([104, 105, 32, 10]));
  });
});

describe('time in SenML', () => {
  it('without a time is now', () => {
    expect(resolve([{ n: 'p1', v: 1 }])[0]).toMatchObject({ timeS: NOW_S, timeKind: 'now' });
    expect(resolve([{ n: 'p1', t: 0, v: 1 }])[0]).toMatchObject({ timeS: NOW_S, timeKind: 'now' });
  });

  it('below 2^28 is relative and from there absolute (4.5.3)', () => {
    const at = (t: number) => resolveSenml([{ n: 'p1', t, v: 1 }], 1000);
    expect(at(268_435_455)).toMatchObject({ records: [{ timeS: 268_436_455, timeKind: 'relative' }] });
    expect(at(268_435_456)).toMatchObject({ records: [{ timeS: 268_435_456, timeKind: 'absolute' }] });
    expect(new Date(2 ** 28 * 1000).toISOString()).toBe('1978-07-04T21:24:16.000Z');
  });

  it('in the past is a negative number of seconds', () => {
    const [record] = resolve([{ bn: 'box:', bu: 'Cel', n: 'p1', t: -12.5, v: 63.5 }]);
    expect(record).toMatchObject({ name: 'box:p1', unit: 'Cel', timeS: 1_699_999_987.5, value: 63.5 });
  });

  it('is judged by the sum of base time and time, not by its parts (4.5.3)', () => {
    expect(resolve([{ bn: 'p', bt: 268_435_450, t: 10, v: 1 }])[0]).toMatchObject({
      timeS: 268_435_460,
      timeKind: 'absolute',
    });
  });

  it('puts the records in order, and leaves those of one time as they were (4.6)', () => {
    const pack = [
      { n: 'c', t: 0, v: 1 },
      { n: 'a', t: -2, v: 1 },
      { n: 'd', t: 0, v: 1 },
      { n: 'b', t: -1, v: 1 },
    ];
    expect(resolve(pack).map((r) => r.name)).toEqual(['a', 'b', 'c', 'd']);
  });

  it('promises the next record where the update time says so', () => {
    const within = (ut?: number) =>
      resolve([{ n: 'p', v: 1, ...(ut === undefined ? {} : { ut }) }])[0]?.nextWithinS;
    expect([within(30), within(), within(0), within(-5)]).toEqual([30, null, null, null]);
  });
});

describe('values in SenML', () => {
  it('have the base value added, which also stands alone (4.5.4)', () => {
    const pack = [{ bn: 'p', bt: 1_700_000_000, bu: 'Cel', bv: 60, v: 3.5 }, { t: 1, v: -0.25 }, { t: 2 }];
    expect(resolve(pack).map((r) => r.value)).toEqual([63.5, 59.75, 60]);
  });

  it('may be a sum without a value, to which the base sum is added (4.2, 4.5.4)', () => {
    expect(resolve([{ bn: 'p', bt: 1_700_000_000, s: 42, u: 'J' }])[0]).toMatchObject({
      sum: 42,
      value: null,
    });
    expect(resolve([{ bn: 'p', bs: 40, s: 2, u: 'J' }, { t: 1 }]).map((r) => r.sum)).toEqual([42, 40]);
    expect(resolve([{ n: 'p', v: 1 }])[0]?.sum).toBeNull();
  });

  it('keep a base field until the same one comes again (4.1)', () => {
    const pack = [
      { bn: 'a:', bt: 1_700_000_000, n: 'x', v: 1 },
      { bn: 'b:', n: 'x', v: 2 },
      { n: 'y', v: 3 },
    ];
    expect(resolve(pack).map((r) => [r.name, r.timeS, r.value])).toEqual([
      ['a:x', 1_700_000_000, 1],
      ['b:x', 1_700_000_000, 2],
      ['b:y', 1_700_000_000, 3],
    ]);
  });

  it('without a name have the name of the topic', () => {
    expect(resolve([{ u: 'Cel', v: 63.5 }], 'left')[0]?.name).toBe('left');
  });

  it('of a record with base fields alone are none (5.1.7)', () => {
    expect(resolve([{ bn: 'p', bv: 60, bt: 1_700_000_000 }])).toEqual([]);
  });

  it.each(['aGkgCg==', 'aGkg+g', 'aGkgC', 'a b', 'é'])(
    'are skipped as data that is no base64url: %s',
    (vd) => {
      const result = resolveSenml([{ n: 'p', vd }], NOW_S);
      expect(result.ok && [result.records.length, result.skipped.length]).toEqual([0, 1]);
    },
  );
});

describe('packs that are used', () => {
  it.each([
    ['with a label that nobody knows', { n: 'p', v: 1, foo: 1 }],
    ['of version 10', { n: 'p', v: 1, bver: 10 }],
    ['of version 5, which an example of the standard has', { n: 'p', v: 1, bver: 5 }],
    ['of version 26, which allows secondary units', { n: 'p', v: 1, bver: 26 }],
    ['with a prototype as a label', JSON.parse('{"n":"p","v":1,"__proto__x":{"v":2}}')],
  ])('%s', (_what, record) => {
    expect(resolve([record]).map((r) => r.value)).toEqual([1]);
  });

  // RFC 9100 sections 2 and 4; the third and fourth: a reader that knows another feature
  it.each([
    [10, [], true],
    [26, [], false],
    [26, [4], true],
    [42, [4], false],
    [42, [5], true],
    [58, [4, 5], true],
    [11, [4], false],
    [16, [4], false],
    [10 + 2 ** 40, [4, 40], true],
    [10 + 2 ** 40, [4], false],
    [0, [], false],
    [-1, [], false],
    [9.5, [], false],
  ])('of version %d by a reader of the features %j: %s', (bver, features, isUnderstood) => {
    expect(understandsVersion(bver, features)).toBe(isUnderstood);
  });
});

describe('packs that are refused whole', () => {
  it.each([
    ['a label that must be understood', [{ n: 'p', v: 1, foo_: 1 }]],
    ['a prototype as such a label', JSON.parse('[{"n":"p","v":1,"__proto__":1}]')],
    ['a newer version', [{ n: 'p', v: 1, bver: 11 }]],
    ['a feature that is not understood', [{ n: 'p', v: 1, bver: 42 }]],
    [
      'two versions',
      [
        { n: 'p', v: 1, bver: 9 },
        { n: 'q', v: 1, bver: 10 },
      ],
    ],
    [
      'an older version behind a newer one',
      [
        { n: 'p', v: 1, bver: 10 },
        { n: 'q', v: 1, bver: 9 },
      ],
    ],
    [
      'a version that comes too late',
      [
        { n: 'p', v: 1 },
        { n: 'q', v: 1, bver: 26 },
      ],
    ],
    ['text where a number belongs', [{ n: 'p', v: '63' }]],
    ['a number where text belongs', [{ n: 5, v: 63 }]],
    ['nothing where a number belongs', [{ n: 'p', v: null }]],
    ['a number beyond the largest', [{ n: 'p', v: Infinity }]],
    ['text where yes or no belongs', [{ n: 'p', vb: 'true' }]],
    ['a number where data belongs', [{ n: 'p', vd: 5 }]],
    ['an empty pack', []],
    ['no pack at all', { n: 'p', v: 1 }],
    ['a record that is an array', [[1]]],
    ['a record that is nothing', [null]],
  ])('%s', (_what, pack) => {
    expect(resolveSenml(pack, NOW_S).ok).toBe(false);
  });
});

describe('records that are skipped while the others are kept', () => {
  it.each([
    ['two values', { n: 'p', v: 1, vs: 'x' }],
    ['no value', { n: 'p', u: 'Cel' }],
    ['a blank in the name', { n: 'grill 1', v: 1 }],
    ['a name that begins with a dash', { n: '_x', v: 1 }],
    ['a name of 129 characters', { n: 'x'.repeat(129), v: 1 }],
    ['no name at all', { v: 1 }],
  ])('%s', (_what, record) => {
    const result = resolveSenml([record, { n: 'ok', v: 2 }], NOW_S);
    expect(result).toMatchObject({ ok: true, records: [{ name: 'ok' }] });
    expect(result.ok && result.skipped).toHaveLength(1);
  });

  it('but a name of 128 characters is one', () => {
    expect(resolve([{ n: 'x'.repeat(128), v: 1 }])).toHaveLength(1);
  });
});

it('resolving never throws and gives the records in order, whatever the JSON is', () => {
  const label = fc.constantFrom(
    'bn',
    'bt',
    'bu',
    'bv',
    'bs',
    'bver',
    'n',
    'u',
    'v',
    'vs',
    'vb',
    'vd',
    's',
    't',
    'ut',
  );
  const record = fc.dictionary(label, fc.oneof(fc.double(), fc.integer(), fc.string(), fc.boolean()));
  fc.assert(
    fc.property(fc.oneof(fc.jsonValue(), fc.array(record)), (json) => {
      const result = resolveSenml(json, NOW_S, 'left');
      if (!result.ok) expect(result.reason).not.toBe('');
      else {
        const times = result.records.map((r) => r.timeS);
        expect(times).toEqual([...times].sort((a, b) => a - b));
      }
    }),
    { numRuns: 3_000 },
  );
});
