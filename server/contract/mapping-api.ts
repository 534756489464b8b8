import * as z from 'zod/mini';
import { MappingSchema } from './mapping.ts';
import { QUALITIES, REASON_NAMES, SIDE_QUANTITIES } from './reading.ts';

export const MappingAnswerSchema = z.strictObject({
  /** As a person wrote it; see `MappingSchema`. */
  mapping: MappingSchema,
  /** Where it is kept; null while it has never been saved. */
  filePath: z.nullable(z.string()),
});
export type MappingAnswer = z.input<typeof MappingAnswerSchema>;

const MAX_TRIED_BYTES = 20_000;
const MAX_TOPIC = 256;

/** A message as it might arrive, and the mapping to read it by. One of the two payload fields. */
export const MappingTryInputSchema = z.strictObject({
  topic: z.string().check(z.minLength(1), z.maxLength(MAX_TOPIC)),
  payloadText: z.optional(z.string().check(z.maxLength(MAX_TRIED_BYTES))),
  payloadHex: z.optional(
    z
      .string()
      .check(
        z.maxLength(MAX_TRIED_BYTES),
        z.regex(/^(?:[0-9a-f]{2})*$/i, 'must be bytes in hexadecimal, two characters each'),
      ),
  ),
  mapping: z.unknown(),
});

/** What would come of the message; nothing of it is kept. */
export const MappingTryAnswerSchema = z.strictObject({
  /** The rule that was used; null when the topic was read as a built-in one. */
  ruleId: z.nullable(z.string()),
  readings: z.array(
    z.strictObject({
      sensorId: z.string(),
      tempC: z.number(),
      /** For `uptime`: ms since the device was switched on. */
      atMs: z.number(),
      timeSource: z.enum(['device', 'age', 'uptime', 'arrival']),
      quality: z.union(QUALITIES.map((quality) => z.literal(quality))),
      reasons: z.array(z.enum(REASON_NAMES)),
    }),
  ),
  sides: z.array(
    z.strictObject({
      sensorId: z.string(),
      quantity: z.enum(SIDE_QUANTITIES),
      value: z.number(),
      unit: z.string(),
    }),
  ),
  /** Sensors whose channel says that nothing is plugged in. */
  unplugged: z.array(z.string()),
  rejects: z.array(z.strictObject({ reason: z.string(), detail: z.string() })),
});
export type MappingTryAnswer = z.infer<typeof MappingTryAnswerSchema>;

export const ForgetTopicSchema = z.strictObject({ topic: z.string().check(z.maxLength(MAX_TOPIC)) });
