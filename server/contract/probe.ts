import * as z from 'zod/mini';
import { REASON_NAMES } from './reading.ts';
import { EpochMsSchema, NameSchema } from './text.ts';

export const CHECK_KINDS = ['ice', 'boil'] as const;
export const CheckKindSchema = z.enum(CHECK_KINDS);
export type CheckKind = z.infer<typeof CheckKindSchema>;

/** A probe held in ice water or boiling water, and what came of it. Kept for ever; a later check does not change it. */
export const ProbeCheckSchema = z.strictObject({
  id: z.string(),
  sensorId: z.string(),
  kind: CheckKindSchema,
  atMs: z.number(),
  /** What the probe itself read, before any correction, degC. */
  rawC: z.number(),
  /** The same with the correction that was in force then, degC: this is judged. */
  readC: z.number(),
  /** What it should have read there, degC. */
  expectedC: z.number(),
  /** How far from it is accepted, degC. */
  windowC: z.number(),
  /** Height above the sea at which water boiled, m; null for ice. */
  altitudeM: z.nullable(z.number()),
  outcome: z.enum(['passed', 'failed']),
});
export type ProbeCheck = z.infer<typeof ProbeCheckSchema>;

export const ProbeCheckInputSchema = z.strictObject({
  kind: CheckKindSchema,
  /** What the probe itself says, before any correction, degC; its newest live reading when left out. */
  readC: z.optional(z.number().check(z.gte(-60), z.lte(200))),
  /** Needed for boiling; the current cookout's when left out. */
  altitudeM: z.optional(z.number().check(z.gte(-430), z.lte(6000))),
});
export type ProbeCheckInput = z.infer<typeof ProbeCheckInputSchema>;

/** true = gain * raw + offsetC, for readings at or after `fromMs`, until the next one begins. */
export const CorrectionSchema = z.strictObject({
  id: z.string(),
  sensorId: z.string(),
  kind: z.enum(['one-point', 'two-point', 'none']),
  fromMs: z.number(),
  gain: z.number(),
  offsetC: z.number(),
  /** The checks that it was worked out from. */
  checkIds: z.array(z.string()),
});
export type Correction = z.infer<typeof CorrectionSchema>;
export const CorrectionInputSchema = z.strictObject({
  kind: CorrectionSchema.shape.kind,
  /** One check for `one-point`, an ice and a boiling one for `two-point`, none to go back to the bare reading. */
  checkIds: z.array(z.string().check(z.maxLength(64))).check(z.maxLength(2)),
});
export type CorrectionInput = z.infer<typeof CorrectionInputSchema>;

/** A correction that the checks so far allow; sent back as `CorrectionInput` it begins at the next whole minute. */
export const CorrectionOfferSchema = z.strictObject({
  kind: z.enum(['one-point', 'two-point']),
  checkIds: z.array(z.string()),
  gain: z.number(),
  offsetC: z.number(),
});
export type CorrectionOffer = z.infer<typeof CorrectionOfferSchema>;
/** The answer to a check. */
export const CheckAnswerSchema = z.strictObject({
  check: ProbeCheckSchema,
  offers: z.array(CorrectionOfferSchema),
  /** Why no correction may put this probe right; null while one may, or none is needed. */
  beyondCorrecting: z.nullable(z.string()),
});
export type CheckAnswer = z.infer<typeof CheckAnswerSchema>;

export const ProbeHistorySchema = z.strictObject({
  checks: z.array(ProbeCheckSchema),
  corrections: z.array(CorrectionSchema),
});
export type ProbeHistory = z.infer<typeof ProbeHistorySchema>;

/** Whether a probe may be believed: `never` and `failed` are said wherever it is used. `old`: passed, but too long ago. */
export const PROBE_STANDINGS = ['passed', 'old', 'failed', 'never'] as const;
export const ProbeStandingSchema = z.enum(PROBE_STANDINGS);
export type ProbeStanding = z.infer<typeof ProbeStandingSchema>;

/** How the clock of a sensor's payloads stands against the server's. */
export const SensorClockSchema = z.strictObject({
  kind: z.enum(['none', 'good', 'off', 'jumping']),
  /** How far it is behind the server (positive) or ahead of it, ms; null where it cannot be told. */
  behindMs: z.nullable(z.number()),
});
export type SensorClock = z.infer<typeof SensorClockSchema>;

export const SensorViewSchema = z.strictObject({
  id: z.string(),
  label: z.string(),
  /** With the correction in force, degC. */
  lastValueC: z.nullable(z.number()),
  /** As the probe sent it, degC. */
  lastRawC: z.nullable(z.number()),
  lastAtMs: z.nullable(z.number()),
  ageMs: z.nullable(z.number()),
  quality: z.nullable(z.number()),
  /** Why the last reading got its flag. */
  reasons: z.array(z.enum(REASON_NAMES)),
  assignedTo: z.nullable(
    z.strictObject({ kind: z.enum(['batch', 'place']), id: z.string(), name: z.string() }),
  ),
  /** The newest battery state, percent. */
  battery: z.nullable(z.strictObject({ percent: z.number(), atMs: z.number() })),
  /** Since when the channel says that nothing is plugged in. */
  unpluggedSinceMs: z.nullable(z.number()),
  clock: SensorClockSchema,
  standing: ProbeStandingSchema,
  lastCheck: z.nullable(ProbeCheckSchema),
  correction: z.nullable(CorrectionSchema),
});
export type SensorView = z.infer<typeof SensorViewSchema>;
export const SensorPatchSchema = z.strictObject({ label: NameSchema });

/** A topic on which something was heard that no rule understands. */
export const FoundTopicSchema = z.strictObject({
  topic: z.string(),
  /** Messages since the server started. */
  count: z.number(),
  lastMs: EpochMsSchema,
  reason: z.string(),
  detail: z.string(),
  /** The first bytes of the last payload, as text; null when they are no text. */
  payloadText: z.nullable(z.string()),
  /** The same bytes in hexadecimal, for payloads that are no text. */
  payloadHex: z.string(),
  bytes: z.number(),
});
export type FoundTopic = z.infer<typeof FoundTopicSchema>;
