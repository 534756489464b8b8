import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { isCborTooDeep, isJsonTooDeep, MAX_DEPTH } from '../../server/ingest/json-depth.ts';

const nested = (open: string, close: string, depth: number) => open.repeat(depth) + '1' + close.repeat(depth);
const bytes = (hex: string) => Uint8Array.from(Buffer.from(hex.replaceAll(' ', ''), 'hex'));

function depthOf(json: unknown): number {
  if (typeof json !== 'object' || json === null) return 0;
  return 1 + Math.max(0, ...Object.values(json).map(depthOf));
}

/** CBOR heads by RFC 8949 (2020) section 3 for arrays, maps with text keys, text, small integers, null and truth. */
function cborOf(json: unknown): number[] {
  if (Array.isArray(json)) return [0x98, json.length, ...json.flatMap(cborOf)];
  if (typeof json === 'object' && json !== null) {
    const fields = Object.entries(json);
    return [0xb8, fields.length, ...fields.flatMap(([key, value]) => [...cborOf(key), ...cborOf(value)])];
  }
  if (typeof json === 'string') return [0x78, Buffer.byteLength(json), ...Buffer.from(json)];
  return typeof json === 'boolean' ? [json ? 0xf5 : 0xf4] : [0xf6];
}

describe('JSON nested too deep', () => {
  it('is found from 17 levels on', () => {
    expect(MAX_DEPTH).toBe(16);
    expect(isJsonTooDeep(nested('[', ']', 16))).toBe(false);
    expect(isJsonTooDeep(nested('[', ']', 17))).toBe(true);
    expect(isJsonTooDeep(nested('{"a":', '}', 16))).toBe(false);
    expect(isJsonTooDeep(nested('{"a":', '}', 17))).toBe(true);
  });

  it('is not what stands beside each other, or in text', () => {
    expect(isJsonTooDeep(`[${'[],'.repeat(100)}[]]`)).toBe(false);
    expect(isJsonTooDeep(JSON.stringify({ note: '['.repeat(100) }))).toBe(false);
    expect(isJsonTooDeep(JSON.stringify({ note: `"\\${'['.repeat(100)}` }))).toBe(false);
    expect(isJsonTooDeep(`["\\"",${nested('[', ']', 17)}]`)).toBe(true);
  });

  it('is found in text that is no JSON too, which ends anywhere', () => {
    expect(isJsonTooDeep('['.repeat(8000))).toBe(true);
    expect(isJsonTooDeep(`"${'['.repeat(8000)}`)).toBe(false);
    expect(isJsonTooDeep(`["\\`)).toBe(false);
  });

  it('is what a count of the parsed levels says', () => {
    const json = fc.letrec<{ node: unknown }>((tie) => ({
      node: fc.oneof(
        { maxDepth: 30, depthSize: 'max' },
        fc.string(),
        fc.array(tie('node'), { minLength: 1, maxLength: 2 }),
        fc.dictionary(fc.string(), tie('node'), { minKeys: 1, maxKeys: 2 }),
      ),
    })).node;
    fc.assert(
      fc.property(json, fc.integer({ min: 0, max: 18 }), (inner, more) => {
        let value: unknown = inner;
        for (let i = 0; i < more; i++) value = i % 2 === 0 ? [value] : { key: value };
        expect(isJsonTooDeep(JSON.stringify(value))).toBe(depthOf(value) > MAX_DEPTH);
        expect(isCborTooDeep(Uint8Array.from(cborOf(value)))).toBe(depthOf(value) > MAX_DEPTH);
      }),
      { numRuns: 500 },
    );
  });
});

describe('CBOR nested too deep', () => {
  it.each([
    ['arrays', '81', ''],
    ['maps', 'a1 00', ''],
    ['arrays of indefinite length', '9f', 'ff'],
    ['maps of indefinite length', 'bf 00', 'ff'],
    ['tags', 'c4', ''],
  ])('is found from 17 levels on: %s', (_what, open, close) => {
    expect(isCborTooDeep(bytes(open.repeat(16) + '00' + close.repeat(16)))).toBe(false);
    expect(isCborTooDeep(bytes(open.repeat(17) + '00' + close.repeat(17)))).toBe(true);
  });

  it('is not what stands beside each other, or in text and bytes', () => {
    expect(isCborTooDeep(bytes(`98 64 ${'80'.repeat(100)}`))).toBe(false);
    expect(isCborTooDeep(bytes(`9f ${'9fff'.repeat(100)} ff`))).toBe(false);
    expect(isCborTooDeep(bytes(`81 58 64 ${'81'.repeat(100)}`))).toBe(false);
    expect(isCborTooDeep(bytes(`82 5f 41 81 41 81 ff 78 64 ${'81'.repeat(100)}`))).toBe(false);
  });

  it('is found behind numbers of every length', () => {
    const deep = '81'.repeat(16);
    for (const number of [
      '17',
      '18 81',
      '19 8181',
      '1a 81818181',
      '1b 8181818181818181',
      'fb 8181818181818181',
    ])
      expect(isCborTooDeep(bytes(`82 ${number} ${deep} 00`))).toBe(true);
  });

  it('is found behind breaks in places where they end nothing', () => {
    expect(isCborTooDeep(bytes(`9f ${'bf 00 ff'.repeat(17)}`))).toBe(true);
    expect(isCborTooDeep(bytes(`82 ${'a2 00 ff'.repeat(17)}`))).toBe(true);
  });

  it('is not looked for behind bytes that are no CBOR, nor behind the end of the item', () => {
    expect(isCborTooDeep(bytes(`82 1c ${'81'.repeat(30)}`))).toBe(false);
    expect(isCborTooDeep(bytes(`80 ${'81'.repeat(30)}`))).toBe(false);
    expect(isCborTooDeep(bytes('9b ffffffffffffffff'))).toBe(false);
    expect(isCborTooDeep(new Uint8Array())).toBe(false);
  });
});
