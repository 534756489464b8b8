import { decode } from 'cborg';

/** CBOR labels of SenML: RFC 8428 (2018) section 6, table 4. */
const LABELS: ReadonlyMap<number, string> = new Map([
  [-1, 'bver'],
  [-2, 'bn'],
  [-3, 'bt'],
  [-4, 'bu'],
  [-5, 'bv'],
  [-6, 'bs'],
  [0, 'n'],
  [1, 'u'],
  [2, 'v'],
  [3, 'vs'],
  [4, 'vb'],
  [5, 's'],
  [6, 't'],
  [7, 'ut'],
  [8, 'vd'],
]);
/** Decimal fraction: an array of the exponent of ten and the mantissa. RFC 8949 (2020) section 3.4.4. */
const DECIMAL_FRACTION = 4;
const SHOWN_ERROR = 100;

/**
 * A SenML pack in CBOR to what its JSON would have been, with bytes where JSON has base64url: RFC 8428 section 6.
 * Not read: byte and text strings of indefinite length, and tags other than the decimal fraction.
 *
 * @param payload  CBOR whose nesting was found bearable (`cborDepth`)
 */
export function senmlFromCbor(payload: Uint8Array): { pack: unknown } | { refusal: string } {
  try {
    const found: unknown = decode(payload, {
      useMaps: true,
      rejectDuplicateMapKeys: true,
      tags: { [DECIMAL_FRACTION]: (content) => decimalFraction(content()) },
    });
    if (!Array.isArray(found)) return { refusal: 'a SenML pack is an array' };
    return { pack: found.map(toRecord) };
  } catch (error) {
    // bytes that are no CBOR: an expected kind of bad input
    return { refusal: error instanceof Error ? error.message.slice(0, SHOWN_ERROR) : 'no CBOR' };
  }
}

function toRecord(entry: unknown): unknown {
  if (!(entry instanceof Map)) return entry;
  const fields: Iterable<[unknown, unknown]> = entry;
  const record = new Map<string, unknown>();
  for (const [key, value] of fields) {
    // how the library hands on a break that stands where a value belongs
    if (typeof value === 'symbol') throw new Error('a break in the place of a value');
    const label = typeof key === 'number' ? LABELS.get(key) : key;
    // a number that the table does not have is a label to be ignored, like unknown text
    if (typeof label !== 'string') continue;
    if (record.has(label)) throw new Error(`the label ${label} is there twice`);
    record.set(label, typeof value === 'bigint' ? Number(value) : value);
  }
  return Object.fromEntries(record);
}

/** The nearest double to mantissa times ten to the exponent; NaN, which no label accepts, when it is no such pair. */
function decimalFraction(content: unknown): number {
  if (!Array.isArray(content) || content.length !== 2) return NaN;
  const pair: unknown[] = content;
  const [exponent, mantissa] = pair;
  return isInteger(exponent) && isInteger(mantissa) ? Number(`${mantissa}e${exponent}`) : NaN;
}

function isInteger(value: unknown): value is number | bigint {
  return typeof value === 'bigint' || Number.isInteger(value);
}
