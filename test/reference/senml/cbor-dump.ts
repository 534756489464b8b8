/**
 * The pack of CURRENTS in CBOR, 195 bytes as RFC 8428 (2018) section 6 prints it. The bytes are from memory of that dump, so that
 * the test builds them a second time, from the section's label table, with `cborOf`, and compares.
 */
export const CURRENTS_CBOR_HEX = [
  '87a721781b75726e3a6465763a6f773a',
  '3130653230373361303130383030363a',
  '22fb41d303a15b001062236141200500',
  '67766f6c7461676501615602fb405e06',
  '6666666666a3006763757272656e7406',
  '2402fb3ff3333333333333a300676375',
  '7272656e74062302fb3ff4cccccccccc',
  'cda3006763757272656e74062202fb3f',
  'f6666666666666a3006763757272656e',
  '74062102f93e00a3006763757272656e',
  '74062002fb3ff999999999999aa30067',
  '63757272656e74060002fb3ffb333333',
  '333333',
].join('');

type Field = readonly [label: number, value: number | string];

/** The fields of the seven records in the order of the dump, by the numbers of RFC 8428 section 6, table 4. */
export const CURRENTS_FIELDS: readonly (readonly Field[])[] = [
  [
    [-2, 'urn:dev:ow:10e2073a0108006:'],
    [-3, 1276020076.001],
    [-4, 'A'],
    [-1, 5],
    [0, 'voltage'],
    [1, 'V'],
    [2, 120.1],
  ],
  ...[1.2, 1.3, 1.4, 1.5, 1.6, 1.7].map((v, i): readonly Field[] => [
    [0, 'current'],
    [6, i - 5],
    [2, v],
  ]),
];

/** CBOR by RFC 8949 (2020) section 3 of an array of maps with at most 23 members each, nothing shared with any decoder. */
export function cborOf(records: readonly (readonly Field[])[]): Uint8Array {
  const bytes = [0x80 | records.length];
  for (const fields of records) {
    bytes.push(0xa0 | fields.length);
    for (const [label, value] of fields) bytes.push(...small(label), ...item(value));
  }
  return Uint8Array.from(bytes);
}

function small(n: number): number[] {
  return [n < 0 ? 0x20 | (-1 - n) : n];
}

function item(value: number | string): number[] {
  if (typeof value === 'number') return Number.isInteger(value) ? small(value) : float(value);
  const text = [...Buffer.from(value)];
  return text.length < 24 ? [0x60 | text.length, ...text] : [0x78, text.length, ...text];
}

/** Half precision where it holds the number exactly (here only 1.5), double precision elsewhere. */
function float(value: number): number[] {
  if (value === 1.5) return [0xf9, 0x3e, 0x00];
  const bytes = Buffer.alloc(8);
  bytes.writeDoubleBE(value);
  return [0xfb, ...bytes];
}
