const NUMBER_LABELS = ['bt', 'bv', 'bs', 'bver', 'v', 's', 't', 'ut'] as const;
const TEXT_LABELS = ['bn', 'bu', 'n', 'u', 'vs'] as const;
type NumberLabel = (typeof NUMBER_LABELS)[number];
type TextLabel = (typeof TEXT_LABELS)[number];

/** One record of a pack as written, its labels checked for type: RFC 8428 (2018) sections 4.1, 4.2 and 5. */
export type PackRecord = Partial<Record<NumberLabel, number> & Record<TextLabel, string>> & {
  vb?: boolean;
  /** Base64url text in JSON, bytes in CBOR. */
  vd?: string | Uint8Array;
};

/** Version 10 is the plain one: its two set bits are reserved codes of RFC 9100 (2021) section 2. */
const PLAIN_VERSION = 10;
/** The first code that can mean a feature; the four below it are the reserved ones. RFC 9100 section 2. */
const FIRST_FEATURE_CODE = 4;
/** Secondary units, RFC 8798 (2020): feature code of RFC 9100 section 4. The only one that is understood here. */
const SECONDARY_UNITS = 4;

/**
 * Whether a pack of this version may be used: RFC 8428 section 4.4 and RFC 9100 section 2. Up to 10 it is a plain pack,
 * also the 5 that an example of RFC 8428 itself uses; above, every feature whose bit is set must be understood.
 */
export function understandsVersion(bver: number, featureCodes: readonly number[]): boolean {
  if (!Number.isInteger(bver) || bver < 1) return false;
  if (bver <= PLAIN_VERSION) return true;
  let features = bver - PLAIN_VERSION;
  if (features % 2 ** FIRST_FEATURE_CODE !== 0) return false;
  // division, because the version may be wider than the 32 bits of the bit operators
  for (const code of featureCodes) if (Math.floor(features / 2 ** code) % 2 === 1) features -= 2 ** code;
  return features === 0;
}

/** The records of a pack and whether its version allows secondary units, or why the whole pack is refused. */
export function readPack(
  pack: unknown,
): { records: PackRecord[]; hasSecondaryUnits: boolean } | { refusal: string } {
  if (!Array.isArray(pack)) return { refusal: 'a SenML pack is an array' };
  if (pack.length === 0) return { refusal: 'the pack is empty' };
  const records: PackRecord[] = [];
  for (const [index, entry] of pack.entries()) {
    const record = readRecord(entry);
    if (typeof record === 'string') return { refusal: `record ${index}: ${record}` };
    records.push(record);
  }
  const version = records[0]?.bver ?? PLAIN_VERSION;
  for (const { bver } of records) {
    if (bver !== undefined && bver !== version) return { refusal: 'bver: all records must have one version' };
  }
  if (!understandsVersion(version, [SECONDARY_UNITS]))
    return { refusal: `bver: version ${version} is not understood` };
  return { records, hasSecondaryUnits: version > PLAIN_VERSION };
}

function readRecord(entry: unknown): PackRecord | string {
  if (typeof entry !== 'object' || entry === null || Array.isArray(entry))
    return 'a record is a map of labels';
  const record: PackRecord = {};
  for (const [label, value] of Object.entries(entry)) {
    const fault = takeLabel(record, label, value);
    if (fault !== null) return fault;
  }
  return record;
}

/** Puts one field into the record; the fault if the whole pack has to be refused for it. */
function takeLabel(record: PackRecord, label: string, value: unknown): string | null {
  if (isNumberLabel(label)) {
    if (typeof value !== 'number') return `${label}: not a number`;
    if (!Number.isFinite(value)) return `${label}: not a finite number`;
    record[label] = value;
  } else if (isTextLabel(label)) {
    if (typeof value !== 'string') return `${label}: not text`;
    record[label] = value;
  } else if (label === 'vb') {
    if (typeof value !== 'boolean') return 'vb: neither true nor false';
    record.vb = value;
  } else if (label === 'vd') {
    if (typeof value !== 'string' && !(value instanceof Uint8Array)) return 'vd: no data';
    record.vd = value;
  } else if (label.endsWith('_')) return `${label}: must be understood and is not`;
  return null;
}

const isOneOf = (labels: readonly string[]): ReadonlySet<string> => new Set(labels);
const numberLabels = isOneOf(NUMBER_LABELS);
const textLabels = isOneOf(TEXT_LABELS);

function isNumberLabel(label: string): label is NumberLabel {
  return numberLabels.has(label);
}

function isTextLabel(label: string): label is TextLabel {
  return textLabels.has(label);
}
