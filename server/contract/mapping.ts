import * as z from 'zod/mini';
import { addProblem, oneOf, PointerSchema, say, ValueSchema, type CheckContext } from './mapping-value.ts';
import { SENSOR_ID_PATTERN } from './reading.ts';
import { isTimeZone } from './time-zone.ts';
import { filterProblem } from './topic-filter.ts';

/*
 * The mapping: which topics carry readings, and where in the payload the number, its unit, its time and the name of the
 * sensor are. The first rule whose filter matches a topic is used; topics without a rule are read as the built-in ones.
 * Unknown fields are errors, so that a misspelt one is not ignored in silence.
 */

const MAX_RULES = 200; // OURS
const MAX_VALUES = 32;
const MAX_TEXT = 100;
const MAX_MESSAGE_BYTES = 65_536;
/** As on the built-in topics. */
const MAX_SENML_BYTES = 8_192;

const FORMATS = ['number', 'json', 'senml-json', 'senml-cbor'] as const;
const TextSchema = z.string().check(z.minLength(1), z.maxLength(MAX_TEXT));

/** Where the name of the sensor comes from. */
const SourceSchema = z.discriminatedUnion(
  'from',
  [
    z.strictObject({
      from: z.literal('const'),
      value: z
        .string()
        .check(
          z.regex(SENSOR_ID_PATTERN, 'must begin with a letter or digit and have only those and - : . / _'),
        ),
    }),
    /** A level of the topic, the first is 0. */
    z.strictObject({ from: z.literal('topic'), level: z.int().check(z.gte(0), z.lte(31)) }),
    z.strictObject({ from: z.literal('json'), at: PointerSchema }),
    /** The name of the member that `eachKey` matched. */
    z.strictObject({ from: z.literal('key') }),
    /** Something inside the member that `eachKey` matched. */
    z.strictObject({ from: z.literal('member'), at: PointerSchema }),
    /** A user property of the message (MQTT 5). */
    z.strictObject({ from: z.literal('prop'), name: TextSchema }),
  ],
  oneOf('const, topic, json, key, member or prop'),
);
export type Source = z.infer<typeof SourceSchema>;

const ZoneSchema = z
  .string()
  .check(z.maxLength(64), z.refine(isTimeZone, 'must be an IANA time zone such as Europe/London'));

export const TIME_FORMS = [
  'epoch-s',
  'epoch-ms',
  'epoch-us',
  'auto-epoch',
  'rfc3339',
  'age-s',
  'age-ms',
  'uptime-s',
  'uptime-ms',
] as const;
/** When it was measured. `age`: how long ago; `uptime`: since the device was switched on, wrapping at 2^32 ms. */
const TimeSpecSchema = z.discriminatedUnion(
  'as',
  [
    z.strictObject({ as: z.literal('arrival') }),
    z.strictObject({ as: z.enum(TIME_FORMS), at: PointerSchema }),
    /** A time of day without an offset: it needs a zone. In the hour that comes twice the earlier one is meant. */
    z.strictObject({ as: z.literal('local'), at: PointerSchema, zone: ZoneSchema }),
  ],
  oneOf(`arrival, local or one of ${TIME_FORMS.join(', ')}`),
);
export type TimeSpec = z.infer<typeof TimeSpecSchema>;

const FormatSchema = z.enum(FORMATS, {
  error: ({ input }) =>
    input === 'sparkplug-b' ? 'sparkplug-b is not built: use a rule for each of its metrics' : undefined,
});

const RuleShape = z.strictObject({
  id: z.string().check(z.regex(/^[a-z0-9-]{1,40}$/, 'must be 1 to 40 of a-z, 0-9 and -')),
  /** MQTT topic filter. */
  filter: z.string().check(z.superRefine((text, ctx) => addProblem(ctx, filterProblem(text)))),
  format: z._default(FormatSchema, 'json'),
  /** For SenML: the sensor of records that have no name. */
  sensor: z.optional(SourceSchema),
  time: z._default(TimeSpecSchema, { as: 'arrival' }),
  /** None for SenML: a pack says itself what its numbers are. */
  values: z._default(z.array(ValueSchema).check(z.maxLength(MAX_VALUES)), []),
  /** What the device says of its own reading, as QARTOD flags: 1 good, 2 not judged, 3 suspect, 4 failed, 9 missing. */
  quality: z.optional(
    z.strictObject({
      at: PointerSchema,
      map: z.record(
        z.string(),
        z.union(
          [z.literal(1), z.literal(2), z.literal(3), z.literal(4), z.literal(9)],
          oneOf('1, 2, 3, 4 or 9'),
        ),
      ),
    }),
  ),
  /** Values that the broker kept from before: taken as suspect unless they carry their own time, or left out. */
  retained: z._default(z.enum(['accept-stale', 'ignore']), 'accept-stale'),
  maxBytes: z._default(z.int().check(z.gte(1), z.lte(MAX_MESSAGE_BYTES)), 8_192),
});
export type Rule = z.infer<typeof RuleShape>;

function isInPayload(source: Source): boolean {
  return source.from === 'json' || source.from === 'key' || source.from === 'member';
}

/** Whether the parts of one rule fit each other. */
function checkRule(rule: Rule, ctx: CheckContext): void {
  const { sensor, filter } = rule;
  switch (rule.format) {
    case 'json':
      checkJson(rule, ctx);
      break;
    case 'number':
      checkNumber(rule, ctx);
      break;
    case 'senml-json':
    case 'senml-cbor':
      checkSenml(rule, ctx);
      break;
  }
  if (rule.format !== 'json' && sensor && isInPayload(sensor))
    say(ctx, ['sensor', 'from'], `must be const, topic or prop for ${rule.format}`);
  const levels = filter.split('/');
  if (sensor?.from === 'topic' && levels.at(-1) !== '#' && sensor.level >= levels.length)
    say(ctx, ['sensor', 'level'], `the filter has levels 0 to ${levels.length - 1} only`);
}

function checkNamed({ sensor, values }: Rule, ctx: CheckContext): void {
  if (!sensor) say(ctx, ['sensor'], 'is needed: where the name of the sensor comes from');
  if (values.length === 0) say(ctx, ['values'], 'must have at least one value');
}

function checkJson(rule: Rule, ctx: CheckContext): void {
  checkNamed(rule, ctx);
  const { sensor, values } = rule;
  if (sensor?.from === 'key' || sensor?.from === 'member') {
    for (const [index, value] of values.entries()) {
      if (value.eachKey === undefined)
        say(ctx, ['values', index, 'eachKey'], `is needed: the sensor comes from the ${sensor.from}`);
    }
    return;
  }
  let hasTemperature = false;
  for (const [index, value] of values.entries()) {
    if (value.quantity !== 'temperature' || value.eachKey !== undefined) continue;
    if (hasTemperature)
      say(ctx, ['values', index], 'a second temperature of the same sensor: use eachKey to tell them apart');
    hasTemperature = true;
  }
}

function checkNumber(rule: Rule, ctx: CheckContext): void {
  checkNamed(rule, ctx);
  const { values, time, quality } = rule;
  const noFields = 'a bare number has no fields';
  if (values.length > 1) say(ctx, ['values'], 'a bare number is one value');
  for (const [index, value] of values.entries()) {
    if (value.at !== '') say(ctx, ['values', index, 'at'], noFields);
    if (value.eachKey !== undefined) say(ctx, ['values', index, 'eachKey'], noFields);
    if (typeof value.unit !== 'string') say(ctx, ['values', index, 'unit'], noFields);
    if (value.coldJunction?.from === 'json') say(ctx, ['values', index, 'coldJunction'], noFields);
  }
  if (time.as !== 'arrival') say(ctx, ['time'], noFields);
  if (quality) say(ctx, ['quality'], noFields);
}

function checkSenml({ values, time, quality, maxBytes }: Rule, ctx: CheckContext): void {
  const ownWords = 'a SenML pack says that itself';
  if (values.length > 0) say(ctx, ['values'], ownWords);
  if (time.as !== 'arrival') say(ctx, ['time'], ownWords);
  if (quality) say(ctx, ['quality'], ownWords);
  if (maxBytes > MAX_SENML_BYTES) say(ctx, ['maxBytes'], `must be at most ${MAX_SENML_BYTES} for SenML`);
}

const RuleSchema = RuleShape.check(z.superRefine(checkRule));

const MappingShape = z.strictObject({
  version: z.literal(1),
  rules: z.array(RuleSchema).check(z.maxLength(MAX_RULES)),
});

export function sameId(first: number): string {
  return `rules.${first} has the same id`;
}

/** Whether the rules fit each other. */
function checkMapping({ rules }: z.infer<typeof MappingShape>, ctx: CheckContext): void {
  const seen = new Map<string, number>();
  for (const [index, { id }] of rules.entries()) {
    const first = seen.get(id);
    if (first === undefined) seen.set(id, index);
    else say(ctx, ['rules', index, 'id'], sameId(first));
  }
}

export const MappingSchema = MappingShape.check(z.superRefine(checkMapping));
/** With everything that was left out filled in. */
export type Mapping = z.infer<typeof MappingSchema>;
/** As a person wrote it. */
export type MappingDocument = z.input<typeof MappingSchema>;

export const NO_RULES: MappingDocument = { version: 1, rules: [] };

/** Whether a document is a mapping; `parseMapping` says what is wrong when it is not. */
export function isMappingDocument(document: unknown): document is MappingDocument {
  return z.safeParse(MappingSchema, document).success;
}
