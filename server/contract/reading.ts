import * as z from 'zod/mini';

/**
 * QARTOD primary flags (U.S. IOOS, Manual for Real-Time Oceanographic Data Quality Control Flags, 2020):
 * 1 good, 2 not evaluated, 3 suspect, 4 fail, 9 missing.
 */
export const QUALITIES = [1, 2, 3, 4, 9] as const;
export type Quality = (typeof QUALITIES)[number];

/** Why a reading got its flag; several may apply, so they are bits. */
export const REASON = { gross: 1, clock: 32, late: 64, retained: 128 } as const;

/** One accepted temperature, as stored and as every later step sees it. `tempC` in hundredths of a degree at best. */
export type Reading = { atMs: number; tempC: number; quality: Quality };

/** A reading on its way into the store. */
export type IncomingReading = Reading & {
  sensorId: string;
  receivedMs: number;
  reasons: number;
  /** Whether the time came with the payload or is the moment of arrival. */
  timeSource: 'device' | 'arrival';
};

export const REJECT_REASONS = [
  'empty',
  'too-large',
  'not-a-number',
  'not-finite',
  'wrong-json-type',
  'unknown-unit',
  'bad-time',
  'bad-name',
  'bad-senml',
  'not-a-temperature',
  'out-of-range',
  'unknown-topic',
] as const;
export type RejectReason = (typeof REJECT_REASONS)[number];

export type Reject = {
  topic: string;
  receivedMs: number;
  reason: RejectReason;
  detail: string;
  /** The first bytes of the payload, for a person to look at. */
  payload: Uint8Array;
};

/** Letters, digits and - : . / _ as in RFC 8428 section 4.5.1, so that any SenML name can be a sensor. */
export const SENSOR_ID_PATTERN = /^[A-Za-z0-9][A-Za-z0-9\-:./_]{0,127}$/;

/** The JSON object form of a payload on `tongside/reading/<sensor>`. */
export const ReadingPayloadSchema = z.looseObject({
  value: z.number(),
  unit: z.optional(z.string()),
  time: z.optional(z.union([z.number(), z.string()])),
});
