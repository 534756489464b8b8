import * as z from 'zod/mini';
import { HeatSchema, RuleSetIdSchema } from './food.ts';
import { ProbeStandingSchema } from './probe.ts';
import { BATCH_STATUSES, StepKindSchema } from './steps.ts';

const Ms = z.number();
const NullableMs = z.nullable(Ms);

/** The seventeen row states of the live screen, and `waiting` for a batch that is still to go on. */
export const ROW_STATES = [
  'waiting',
  'forecast',
  'unsure',
  'by-clock',
  'learning',
  'stalled',
  'ready',
  'overdue',
  'resting',
  'silent',
  'probe-out',
  'holding',
  'watch',
  'unsafe',
  'acknowledged',
  'shelved',
  'returned',
  'off',
] as const;
export const RowStateSchema = z.enum(ROW_STATES);
export type RowState = z.infer<typeof RowStateSchema>;

export const VERBS = ['on', 'turn', 'move', 'off', 'serve', 'heat', 'check'] as const;
export const VerbSchema = z.enum(VERBS);
export type Verb = z.infer<typeof VerbSchema>;

/** A critical limit as shown: the number, its comparator in words, and where it comes from. */
export const LimitViewSchema = z.strictObject({
  id: z.string(),
  valueC: z.number(),
  /** `max`: must not be above; `min`: must not be below; `core`: must be reached and held. */
  kind: z.enum(['max', 'min', 'core']),
  /** In the unit and words of its source, e.g. "70 °C for 2 min". */
  text: z.string(),
  source: z.string(),
  /** How the number was obtained: read in the source, read in a page that quotes it, or from memory. */
  status: z.enum(['read', 'read-second-hand', 'memory']),
});
export type LimitView = z.infer<typeof LimitViewSchema>;

/** Ten equally likely moments: the 5 %, 15 % ... 95 % points. null = that share of the chances may never come. */
export const QuantilesSchema = z.array(NullableMs).check(z.length(10));

export const RowSchema = z.strictObject({
  id: z.string(),
  subject: z.strictObject({ kind: z.enum(['batch', 'place']), id: z.string() }),
  kind: z.enum(['cook', 'clock', 'cold', 'hot']),
  short: z.string(),
  full: z.string(),
  tag: z.nullable(z.enum(['reserve'])),
  placeName: z.nullable(z.string()),
  sensorId: z.nullable(z.string()),
  /** How far the probe may be believed: `never` and `failed` are said in words; null without a probe. */
  probe: z.nullable(ProbeStandingSchema),
  /** The span in which what the probe reads belongs to this row; `toMs` null = still; null = it does not yet. */
  reads: z.nullable(z.strictObject({ fromMs: Ms, toMs: NullableMs })),
  /** Newest accepted temperature; whether it is live is told by `state` and `lastReadingMs`. */
  tempC: z.nullable(z.number()),
  /** The shown temperature is believed only in the alarming direction (quality 3), and is marked as such. */
  suspect: z.boolean(),
  lastReadingMs: NullableMs,
  targetC: z.nullable(z.number()),
  limit: z.nullable(LimitViewSchema),
  quantilesMs: z.nullable(QuantilesSchema),
  basis: z.nullable(z.enum(['curve', 'clock'])),
  /** Why there is no forecast, in a few words; null when there is one. */
  why: z.nullable(z.string()),
  /** While learning: about how many more minutes of readings are needed. */
  learnMin: z.nullable(z.number()),
  known: z.array(z.strictObject({ verb: VerbSchema, atMs: Ms })),
  serveAtMs: NullableMs,
  restMin: z.number(),
  /** Latest take-off for the serving time. */
  gateMs: NullableMs,
  onTimeOf10: z.nullable(z.number()),
  state: RowStateSchema,
  /** Since when the state holds: over the limit, silent, stalled, ready, off, resting until... */
  sinceMs: NullableMs,
  /** Time outside the limit in this excursion, ms. */
  outsideMs: NullableMs,
  /** How far the temperature fell when the probe seems to be out of its place, degC and over how long; below 0: it rose. */
  fell: z.nullable(z.strictObject({ byC: z.number(), inMs: z.number() })),
  seenMs: NullableMs,
  alarmId: z.nullable(z.string()),
  status: z.nullable(z.enum(BATCH_STATUSES)),
  isNext: z.boolean(),
});
export type Row = z.infer<typeof RowSchema>;

export const ActionSchema = z.strictObject({
  id: z.string(),
  verb: VerbSchema,
  rowId: z.string(),
  batchId: z.string(),
  short: z.string(),
  full: z.string(),
  atMs: Ms,
  /** True when the moment is known, false when it is the early edge of a forecast. */
  known: z.boolean(),
  /** What is recorded when the cook says it is done. */
  step: z.nullable(StepKindSchema),
});
export type Action = z.infer<typeof ActionSchema>;

export const ALARM_KINDS = ['cold-over', 'hot-under', 'probe-silent', 'core-short', 'system'] as const;
export const AlarmSchema = z.strictObject({
  id: z.string(),
  kind: z.enum(ALARM_KINDS),
  class: z.enum(['unsafe', 'cannot-tell']),
  state: z.enum(['unacknowledged', 'acknowledged', 'returned', 'normal']),
  rowId: z.nullable(z.string()),
  subject: z.nullable(z.strictObject({ kind: z.enum(['batch', 'place']), id: z.string() })),
  /** Line 1, 22 characters at most, and line 2: reading, limit, how long, then the act. */
  title: z.string(),
  detail: z.string(),
  raisedMs: Ms,
  seenMs: NullableMs,
  returnedMs: NullableMs,
  valueC: z.nullable(z.number()),
  limitC: z.nullable(z.number()),
});
export type Alarm = z.infer<typeof AlarmSchema>;

export const BoardSchema = z.strictObject({
  /** Server time at which this was worked out. */
  asOfMs: Ms,
  /** Seconds on the server's clock per real second; 1 in real use. */
  speed: z.number(),
  cookout: z.nullable(
    z.strictObject({
      id: z.string(),
      name: z.string(),
      guests: z.number(),
      timeZone: z.string(),
      ruleSet: RuleSetIdSchema,
      serves: z.array(z.strictObject({ id: z.string(), atMs: Ms })),
      isDemo: z.boolean(),
    }),
  ),
  /** What needs the cook, most urgent first. */
  next: z.array(ActionSchema),
  /** Alarms that are not back to normal, worst first. */
  alarms: z.array(AlarmSchema),
  zones: z.array(
    z.strictObject({
      id: z.string(),
      name: z.string(),
      heat: z.nullable(HeatSchema),
      tempC: z.nullable(z.number()),
    }),
  ),
  rows: z.array(RowSchema),
  /** False when the safety watch itself failed; the screen must say so louder than anything else. */
  watchOk: z.boolean(),
  /** Sensors heard from at least once. */
  sensorsHeard: z.number(),
  allServed: z.boolean(),
});
export type Board = z.infer<typeof BoardSchema>;
