import * as z from 'zod/mini';

/** Sums of base time and time below this are relative to now: RFC 8428 (2018) section 4.5.3. */
export const RELATIVE_TIME_BELOW_S = 2 ** 28;
/** Version of SenML this resolver understands: RFC 8428 section 4.4. */
const VERSION = 10;
/** RFC 8428 section 4.5.1: letters, digits and - : . / _, first one a letter or digit. */
const NAME = /^[A-Za-z0-9][A-Za-z0-9\-:./_]*$/;

const RecordSchema = z.looseObject({
  bn: z.optional(z.string()),
  bt: z.optional(z.number()),
  bu: z.optional(z.string()),
  bv: z.optional(z.number()),
  bs: z.optional(z.number()),
  bver: z.optional(z.int().check(z.positive())),
  n: z.optional(z.string()),
  u: z.optional(z.string()),
  v: z.optional(z.number()),
  vs: z.optional(z.string()),
  vb: z.optional(z.boolean()),
  vd: z.optional(z.string()),
  s: z.optional(z.number()),
  t: z.optional(z.number()),
  ut: z.optional(z.number()),
});
type PackRecord = z.infer<typeof RecordSchema>;
const PackSchema = z.array(RecordSchema).check(z.minLength(1));

export type ResolvedRecord = {
  name: string;
  unit: string | null;
  /** Epoch s. */
  timeS: number;
  /** False when neither record nor base gave a time, so that it means "now". */
  hasOwnTime: boolean;
  value: number | string | boolean | null;
  data: string | null;
  sum: number | null;
};
export type SenmlResult =
  { ok: true; records: ResolvedRecord[]; skipped: string[] } | { ok: false; reason: string };

type Base = {
  name: string;
  timeS: number;
  hasTime: boolean;
  unit: string | null;
  value: number;
  sum: number | null;
};

/**
 * Resolves a SenML JSON pack (already parsed JSON): RFC 8428 sections 4.1 to 4.6.
 * A pack with a wrong JSON type, an unknown must-understand label or a newer version is refused whole;
 * a single record with a bad name or without exactly one value is skipped and named.
 *
 * @param pack  parsed JSON
 * @param nowS  epoch s, to which relative times are added
 * @param fallbackName  name of records that have none after resolving (the topic's sensor), or null
 */
export function resolveSenml(pack: unknown, nowS: number, fallbackName: string | null = null): SenmlResult {
  const parsed = PackSchema.safeParse(pack);
  if (!parsed.success) return { ok: false, reason: firstIssue(parsed.error) };
  const refusal = refuse(parsed.data);
  if (refusal !== null) return { ok: false, reason: refusal };
  const base: Base = { name: '', timeS: 0, hasTime: false, unit: null, value: 0, sum: null };
  const records: ResolvedRecord[] = [];
  const skipped: string[] = [];
  for (const [index, record] of parsed.data.entries()) {
    takeBase(base, record);
    const outcome = resolveRecord(record, base, nowS, fallbackName);
    if (typeof outcome === 'string') skipped.push(`record ${index}: ${outcome}`);
    else if (outcome) records.push(outcome);
  }
  records.sort((a, b) => a.timeS - b.timeS);
  return { ok: true, records, skipped };
}

function firstIssue(error: z.core.$ZodError): string {
  const issue = error.issues[0];
  return issue ? `${issue.path.join('.') || 'pack'}: ${issue.message}` : 'not a SenML pack';
}

function refuse(records: readonly PackRecord[]): string | null {
  const versions = new Set(records.map((r) => r.bver).filter((v) => v !== undefined));
  if (versions.size > 1) return 'bver: all records must have the same version';
  for (const version of versions) if (version > VERSION) return `bver: version ${version} is not understood`;
  for (const record of records) {
    const label = Object.keys(record).find((key) => key.endsWith('_'));
    if (label !== undefined) return `${label}: a label that must be understood is not`;
  }
  return null;
}

function takeBase(base: Base, record: PackRecord): void {
  if (record.bn !== undefined) base.name = record.bn;
  if (record.bt !== undefined) {
    base.timeS = record.bt;
    base.hasTime = true;
  }
  if (record.bu !== undefined) base.unit = record.bu;
  if (record.bv !== undefined) base.value = record.bv;
  if (record.bs !== undefined) base.sum = record.bs;
}

const OWN_LABELS = ['n', 'u', 'v', 'vs', 'vb', 'vd', 's', 't', 'ut'] as const;

/** RFC 8428 section 4.2: exactly one value field, or a sum and at most one. */
function valueFault(r: PackRecord): string | null {
  const values = [r.v, r.vs, r.vb, r.vd].filter((v) => v !== undefined);
  if (values.length > 1) return 'more than one value';
  return values.length === 0 && r.s === undefined ? 'no value' : null;
}

/** A resolved record, null for a record of base fields alone, or why it is skipped. */
function resolveRecord(
  r: PackRecord,
  base: Base,
  nowS: number,
  fallbackName: string | null,
): ResolvedRecord | string | null {
  if (!OWN_LABELS.some((label) => r[label] !== undefined)) return null;
  const name = base.name + (r.n ?? '') || (fallbackName ?? '');
  if (!NAME.test(name)) return `the name "${name}" is not allowed`;
  const fault = valueFault(r);
  if (fault !== null) return fault;
  const sumS = base.timeS + (r.t ?? 0);
  const sum = r.s !== undefined || base.sum !== null ? (base.sum ?? 0) + (r.s ?? 0) : null;
  return {
    name,
    unit: r.u ?? base.unit,
    timeS: sumS < RELATIVE_TIME_BELOW_S ? nowS + sumS : sumS,
    hasOwnTime: base.hasTime || r.t !== undefined,
    value: r.v !== undefined ? base.value + r.v : (r.vs ?? r.vb ?? null),
    data: r.vd ?? null,
    sum,
  };
}
