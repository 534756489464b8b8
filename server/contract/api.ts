import * as z from 'zod/mini';
import { LimitViewSchema, QuantilesSchema } from './board.ts';
import { BatchSchema, CookoutSchema, DishSchema, PlaceSchema } from './cookout.ts';
import { CorrectionSchema, ProbeCheckSchema, ProbeStandingSchema } from './probe.ts';
import { NoteSchema } from './text.ts';
import { BATCH_STATUSES, StepKindSchema } from './steps.ts';
import { HeatSchema } from './food.ts';

/** RFC 9457 problem details, with the fields that are wrong named. */
export const ProblemSchema = z.strictObject({
  type: z.string(),
  title: z.string(),
  status: z.number(),
  detail: z.optional(z.string()),
  errors: z.optional(z.array(z.strictObject({ field: z.string(), message: z.string() }))),
});
export type Problem = z.infer<typeof ProblemSchema>;

export const BucketsSchema = z.strictObject({
  sensor: z.string(),
  /** [atMs, minC, maxC, lastC] */
  points: z.array(z.tuple([z.number(), z.number(), z.number(), z.number()])),
});
export type Buckets = z.infer<typeof BucketsSchema>;
/** Readings one by one: [atMs, valueC, quality]. Ask again with `fromMs` = `nextFromMs` for the next page. */
export type RawReadings = {
  sensor: string;
  points: [number, number, number][];
  nextFromMs: number | null;
};

export const RejectViewSchema = z.strictObject({
  topic: z.string(),
  receivedMs: z.number(),
  reason: z.string(),
  detail: z.string(),
  payloadText: z.string(),
});
export type RejectView = z.infer<typeof RejectViewSchema>;

export const ForecastSchema = z.discriminatedUnion('kind', [
  z.strictObject({
    kind: z.literal('eta'),
    basis: z.enum(['curve', 'clock']),
    medianMs: z.nullable(z.number()),
    p10Ms: z.nullable(z.number()),
    p90Ms: z.nullable(z.number()),
    takeOffMs: z.nullable(z.number()),
    peakC: z.nullable(z.number()),
    quantilesMs: QuantilesSchema,
  }),
  z.strictObject({ kind: z.literal('none'), why: z.string() }),
]);
export type ForecastView = z.infer<typeof ForecastSchema>;

export const StepViewSchema = z.strictObject({
  id: z.string(),
  batchId: z.string(),
  step: StepKindSchema,
  atMs: z.number(),
  zone: z.nullable(HeatSchema),
  placeId: z.nullable(z.string()),
});
export const SpotCheckViewSchema = z.strictObject({
  id: z.string(),
  batchId: z.string(),
  tempC: z.number(),
  atMs: z.number(),
  where: z.string(),
});

/** A whole cookout with everything in it: what the set-up forms and the item page work on. */
export const CookoutDetailSchema = z.strictObject({
  cookout: CookoutSchema,
  places: z.array(PlaceSchema),
  dishes: z.array(DishSchema),
  batches: z.array(z.extend(BatchSchema, { status: z.enum(BATCH_STATUSES) })),
  steps: z.array(StepViewSchema),
  spotChecks: z.array(SpotCheckViewSchema),
});
export type CookoutDetail = z.infer<typeof CookoutDetailSchema>;

export const JournalEntrySchema = z.strictObject({
  alarmId: z.string(),
  kind: z.string(),
  atMs: z.number(),
  /** `withdrawn`: nobody measured that it was over; a person ended the watching. */
  event: z.enum(['raised', 'acknowledged', 'returned', 'cleared', 'raised-again', 'withdrawn']),
  state: z.string(),
  subjectName: z.string(),
  valueC: z.nullable(z.number()),
  limitC: z.nullable(z.number()),
  note: z.string(),
});
export type JournalEntry = z.infer<typeof JournalEntrySchema>;

/** A probe behind a trace of the record, and what was known of it then. */
export const TraceProbeSchema = z.strictObject({
  sensorId: z.string(),
  /** The worst that held at any moment of the trace: failed before never before old before passed. */
  standing: ProbeStandingSchema,
  /** The newest check before the trace began and those made during it, oldest first. */
  checks: z.array(ProbeCheckSchema),
  /** Those that were in force at some moment of the trace, oldest first; none = as the probe sent it. */
  corrections: z.array(CorrectionSchema),
});
export type TraceProbe = z.infer<typeof TraceProbeSchema>;

/** One temperature trace of the record: a batch's core or a place, with the span in which it counted. */
export const RecordTraceSchema = z.strictObject({
  subject: z.strictObject({ kind: z.enum(['batch', 'place']), id: z.string() }),
  name: z.string(),
  kind: z.enum(['cook', 'cold', 'hot', 'zone', 'bench']),
  sensorId: z.string(),
  /** One entry a sensor. */
  probes: z.array(TraceProbeSchema),
  fromMs: z.number(),
  toMs: z.number(),
  limit: z.nullable(LimitViewSchema),
  targetC: z.nullable(z.number()),
  /** [atMs, minC, maxC, lastC] */
  points: z.array(z.tuple([z.number(), z.number(), z.number(), z.number()])),
  /** Spans without readings, ms. */
  gaps: z.array(z.tuple([z.number(), z.number()])),
  lowestC: z.nullable(z.number()),
  highestC: z.nullable(z.number()),
  outsideMs: z.nullable(z.number()),
  /** Whether the core limit was reached and held, as measured; null where there is none. */
  core: z.nullable(
    z.strictObject({ state: z.enum(['met', 'not-met', 'unknown']), atMs: z.nullable(z.number()) }),
  ),
});
export type RecordTrace = z.infer<typeof RecordTraceSchema>;

/** A stretch in which nobody could hear the probes, or the clock was moved, for a reason of the server's. */
export const OutageViewSchema = z.strictObject({
  kind: z.enum(['session-lost', 'broker-lost', 'store-failed', 'clock-stepped']),
  fromMs: z.number(),
  toMs: z.number(),
  detail: z.string(),
});

export const RecordSchema = z.strictObject({
  cookout: CookoutSchema,
  asOfMs: z.number(),
  fromMs: z.number(),
  toMs: z.number(),
  traces: z.array(RecordTraceSchema),
  steps: z.array(z.extend(StepViewSchema, { name: z.string() })),
  spotChecks: z.array(z.extend(SpotCheckViewSchema, { name: z.string() })),
  journal: z.array(JournalEntrySchema),
  /** Those that touch the cookout, oldest first. */
  outages: z.array(OutageViewSchema),
});
export type CookoutRecord = z.infer<typeof RecordSchema>;

export const AcknowledgeSchema = z.strictObject({ note: z.optional(NoteSchema) });

export const PASSPHRASE_MIN = 10;
export const PassphraseSchema = z.strictObject({
  passphrase: z.string().check(z.minLength(PASSPHRASE_MIN), z.maxLength(200)),
});
export const LoginSchema = z.strictObject({ passphrase: z.string().check(z.maxLength(200)) });
export const AccessSchema = z.strictObject({
  /** True when this browser may use the rest of the API. */
  open: z.boolean(),
  passphraseSet: z.boolean(),
  /** True when the server listens on this machine only. */
  loopbackOnly: z.boolean(),
  /** Where probes publish to; null until this browser is let in. */
  mqttUrl: z.nullable(z.string()),
});
export type Access = z.infer<typeof AccessSchema>;

export const HealthSchema = z.strictObject({
  status: z.enum(['ok', 'degraded']),
  checks: z.record(z.string(), z.strictObject({ ok: z.boolean(), detail: z.string() })),
});
export type Health = z.infer<typeof HealthSchema>;
