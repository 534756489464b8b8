import { readPack, type PackRecord } from './senml-records.ts';

/** Sums of base time and time below this are relative to now: RFC 8428 (2018) section 4.5.3. */
const RELATIVE_TIME_BELOW_S = 2 ** 28;
/** RFC 8428 section 4.5.1: letters, digits and - : . / _, first one a letter or digit. The length is OURS, as for any sensor. */
const NAME = /^[A-Za-z0-9][A-Za-z0-9\-:./_]{0,127}$/;
/** RFC 8428 section 4.2: base64 with the URL and filename safe alphabet, no padding. */
const BASE64URL = /^[A-Za-z0-9_-]*$/;
const SHOWN_NAME = 40;

export type ResolvedRecord = {
  name: string;
  unit: string | null;
  /** Epoch s. */
  timeS: number;
  /** What the pack said: nothing or a zero (`now`), seconds from now (`relative`), or a date. */
  timeKind: 'now' | 'relative' | 'absolute';
  value: number | string | boolean | null;
  data: Uint8Array | null;
  sum: number | null;
  /** Seconds until the next record of this name at the latest (`ut`), where one is promised. */
  nextWithinS: number | null;
};
export type SenmlResult =
  | { ok: true; records: ResolvedRecord[]; skipped: string[]; hasSecondaryUnits: boolean }
  | { ok: false; reason: string };

type Base = { name: string; timeS: number; unit: string | null; value: number | null; sum: number | null };
type Surroundings = { base: Base; nowS: number; fallbackName: string };

/**
 * Resolves a SenML pack: RFC 8428 (2018) sections 4.1 to 4.6, versions by RFC 9100 (2021). Units stay as they are written.
 * A pack with a wrong type, an unknown must-understand label or a version that is not understood is refused whole;
 * a single record with a bad name, bad data or without exactly one value is skipped and named (the RFC leaves this open).
 *
 * @param pack  parsed JSON, or what `senmlFromCbor` made of CBOR
 * @param nowS  epoch s at which the pack arrived, to which relative times are added
 * @param fallbackName  name of records that have none after resolving (the topic's sensor), or null
 * @returns the records in order of time
 */
export function resolveSenml(pack: unknown, nowS: number, fallbackName: string | null = null): SenmlResult {
  const read = readPack(pack);
  if ('refusal' in read) return { ok: false, reason: read.refusal };
  const base: Base = { name: '', timeS: 0, unit: null, value: null, sum: null };
  const surroundings: Surroundings = { base, nowS, fallbackName: fallbackName ?? '' };
  const records: ResolvedRecord[] = [];
  const skipped: string[] = [];
  for (const [index, record] of read.records.entries()) {
    takeBase(base, record);
    const outcome = resolveRecord(record, surroundings);
    if (typeof outcome === 'string') skipped.push(`record ${index}: ${outcome}`);
    else if (outcome) records.push(outcome);
  }
  records.sort((a, b) => a.timeS - b.timeS);
  return { ok: true, records, skipped, hasSecondaryUnits: read.hasSecondaryUnits };
}

function takeBase(base: Base, record: PackRecord): void {
  if (record.bn !== undefined) base.name = record.bn;
  if (record.bt !== undefined) base.timeS = record.bt;
  if (record.bu !== undefined) base.unit = record.bu;
  if (record.bv !== undefined) base.value = record.bv;
  if (record.bs !== undefined) base.sum = record.bs;
}

/** A resolved record, null for a record of base fields alone (RFC 8428 section 5.1.7 has one), or why it is skipped. */
function resolveRecord(r: PackRecord, surroundings: Surroundings): ResolvedRecord | string | null {
  const { base, nowS, fallbackName } = surroundings;
  if (isBaseOnly(r)) return null;
  const name = base.name + (r.n ?? '') || fallbackName;
  if (!NAME.test(name)) return `the name "${name.slice(0, SHOWN_NAME)}" is not allowed`;
  const fault = valueFault(r, base);
  if (fault !== null) return fault;
  const data = r.vd === undefined ? null : bytesOf(r.vd);
  if (r.vd !== undefined && data === null) return 'vd: not base64url';
  const sumS = base.timeS + (r.t ?? 0);
  const isRelative = sumS < RELATIVE_TIME_BELOW_S;
  return {
    name,
    unit: r.u ?? base.unit,
    timeS: isRelative ? nowS + sumS : sumS,
    timeKind: !isRelative ? 'absolute' : sumS === 0 ? 'now' : 'relative',
    value: r.vs ?? r.vb ?? (data === null ? added(base.value, r.v) : null),
    data,
    sum: added(base.sum, r.s),
    nextWithinS: r.ut !== undefined && r.ut > 0 ? r.ut : null,
  };
}

function isBaseOnly(r: PackRecord): boolean {
  const own = [r.n, r.u, r.v, r.vs, r.vb, r.vd, r.s, r.t, r.ut];
  return own.every((field) => field === undefined);
}

/** RFC 8428 section 4.2: exactly one value field, or a sum and at most one. A base value or sum stands in for its own. */
function valueFault(r: PackRecord, base: Base): string | null {
  const values = [r.v, r.vs, r.vb, r.vd].filter((value) => value !== undefined);
  if (values.length > 1) return 'more than one value';
  const hasOther = r.s !== undefined || base.value !== null || base.sum !== null;
  return values.length === 0 && !hasOther ? 'no value' : null;
}

/** Base and own part, a missing one being zero, nothing when both are missing: RFC 8428 section 4.5.4. */
function added(base: number | null, own: number | undefined): number | null {
  return base === null && own === undefined ? null : (base ?? 0) + (own ?? 0);
}

function bytesOf(data: string | Uint8Array): Uint8Array | null {
  if (typeof data !== 'string') return data;
  // one character over a multiple of four is no whole byte
  const isWhole = BASE64URL.test(data) && data.length % 4 !== 1;
  return isWhole ? Uint8Array.from(Buffer.from(data, 'base64url')) : null;
}
