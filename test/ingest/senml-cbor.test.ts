import { describe, expect, it } from 'vitest';
import { senmlFromCbor } from '../../server/ingest/senml-cbor.ts';
import { resolveSenml } from '../../server/ingest/senml.ts';
import { cborOf, CURRENTS_CBOR_HEX, CURRENTS_FIELDS } from '../reference/senml/cbor-dump.ts';
import { CURRENTS, NOW_S } from '../reference/senml/packs.ts';

// Labels and number forms: RFC 8428 (2018) section 6; encoding: RFC 8949 (2020).
const bytes = (hex: string) => Uint8Array.from(Buffer.from(hex.replaceAll(' ', ''), 'hex'));

function packOf(hex: string): unknown {
  const read = senmlFromCbor(bytes(hex));
  if ('refusal' in read) throw new Error(read.refusal);
  return read.pack;
}

function refusalOf(hex: string): string | null {
  const read = senmlFromCbor(bytes(hex));
  if ('refusal' in read) return read.refusal;
  const resolved = resolveSenml(read.pack, NOW_S, 'left');
  return resolved.ok ? null : resolved.reason;
}

describe('SenML in CBOR', () => {
  it('has 195 bytes for the pack of section 6, built from the label table', () => {
    expect(Buffer.from(cborOf(CURRENTS_FIELDS)).toString('hex')).toBe(CURRENTS_CBOR_HEX);
    expect(CURRENTS_CBOR_HEX).toHaveLength(2 * 195);
  });

  it('resolves that pack to what its JSON resolves to', () => {
    const fromCbor = resolveSenml(packOf(CURRENTS_CBOR_HEX), NOW_S);
    expect(fromCbor).toEqual(resolveSenml(CURRENTS.pack, NOW_S));
    expect(fromCbor.ok && fromCbor.records).toHaveLength(7);
  });

  it('reads half precision, text and a time of four bytes', () => {
    expect(packOf('81a400627031016343656c061a6553f10002f953f0')).toEqual([
      { n: 'p1', u: 'Cel', t: 1_700_000_000, v: 63.5 },
    ]);
  });

  // tag 4: exponent and mantissa, RFC 8949 section 3.4.4
  it.each([
    ['c4 82 20 19 027b', 63.5], // [-1, 635]
    ['c4 82 21 19 6ab3', 273.15], // [-2, 27315], the nearest double and not 27315 * 0.01
    ['c4 82 01 06', 60], // [1, 6]
    ['c4 82 21 38 c7', -2], // [-2, -200]
    ['c4 82 2a 1b 0de0b6b3a7640000', 10_000_000], // [-11, 10^18]: the mantissa is wider than a double
    ['fa 427e0000', 63.5],
    ['fb 404fc00000000000', 63.5],
    ['18 3f', 63],
    ['38 3f', -64],
    ['1b 0020000000000000', 2 ** 53],
  ])('reads the number %s exactly', (hex, value) => {
    expect(packOf(`81 a1 02 ${hex}`)).toEqual([{ v: value }]);
  });

  it('reads all labels by their numbers', () => {
    const hex = `82
      a6 20 0a  21 61 62  22 01  23 61 75  24 02  25 03
      a9 00 61 6e  01 61 75  02 04  03 61 73  04 f5  05 05  06 06  07 07  08 42 0102`.replaceAll(/\s/g, '');
    expect(packOf(hex)).toEqual([
      { bver: 10, bn: 'b', bt: 1, bu: 'u', bv: 2, bs: 3 },
      { n: 'n', u: 'u', v: 4, vs: 's', vb: true, s: 5, t: 6, ut: 7, vd: Uint8Array.from([1, 2]) },
    ]);
  });

  it('takes data as the bytes they are', () => {
    const resolved = resolveSenml(packOf('81 a2 00 61 70 08 44 6869200a'), NOW_S);
    expect(resolved.ok && resolved.records[0]?.data).toEqual(Uint8Array.from([104, 105, 32, 10]));
  });

  it('reads arrays and maps of indefinite length, as streams have them', () => {
    expect(packOf('9f bf 00 62 7031 02 18 3f ff ff')).toEqual([{ n: 'p1', v: 63 }]);
  });

  it('ignores labels that it does not know, text or number', () => {
    expect(refusalOf('81 a4 00 61 70 02 18 3f 63 666f6f 01 18 63 02')).toBeNull();
    expect(packOf('81 a2 02 18 3f 18 63 02')).toEqual([{ v: 63 }]);
  });

  it.each([
    ['a text label that must be understood', '81 a3 00 61 70 02 18 3f 64 666f6f5f 01', 'must be understood'],
    ['the same label twice', '81 a3 00 61 70 02 18 3f 02 18 40', 'repeat map key'],
    [
      'a label twice, once by number and once by name',
      '81 a3 00 61 70 02 18 3f 61 76 18 40',
      'v is there twice',
    ],
    ['a newer version', '81 a3 20 0b 00 61 70 02 18 3f', 'version 11'],
    ['text where a number belongs', '81 a2 00 61 70 02 62 3633', 'v: not a number'],
    ['not a number', '81 a2 00 61 70 02 f9 7e00', 'not a finite number'],
    ['infinity', '81 a2 00 61 70 02 f9 7c00', 'not a finite number'],
    ['a decimal fraction that is no pair', '81 a1 02 c4 81 01', 'not a finite number'],
    ['a decimal fraction of text', '81 a1 02 c4 82 61 31 01', 'not a finite number'],
    ['a decimal fraction beyond the largest number', '81 a1 02 c4 82 1a 3b9aca00 01', 'not a finite number'],
    ['another tag', '81 a1 02 c2 42 0100', 'tag not supported'],
    ['a negative bignum', '81 a1 02 c3 49 010000000000000000', 'tag not supported'],
    ['a map alone', 'a1 02 18 3f', 'is an array'],
    ['bytes after the pack', '81 a1 02 18 3f 00', 'too many terminals'],
    ['a pack that ends too early', '82 a1 02 18 3f', 'not enough entries'],
    ['an array that claims four thousand million records', '9a ffffffff a1 02 18 3f', 'not enough entries'],
    ['an array that claims more than can be counted', '9b ffffffffffffffff', '64-bit'],
    ['text in pieces', '81 a2 00 7f 61 70 ff 02 18 3f', 'indefinite length'],
    ['a break where a value belongs', '81 a2 63 666f6f ff 02 18 3f', 'break in the place'],
    ['a break in an array of known length', '82 ff 00', 'unexpected break'],
    ['a record that is a number', '81 05', 'map of labels'],
    ['an empty pack', '80', 'the pack is empty'],
  ])('is refused whole for %s', (_what, hex, reason) => {
    expect(refusalOf(hex)).toContain(reason);
  });
});
