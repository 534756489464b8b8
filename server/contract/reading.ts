import * as z from 'zod/mini';

/**
 * QARTOD primary flags (U.S. IOOS, Manual for Real-Time Oceanographic Data Quality Control Flags, 2020):
 * 1 good, 2 not evaluated, 3 suspect, 4 fail, 9 missing.
 */
export const QUALITIES = [1, 2, 3, 4, 9] as const;
export type Quality = (typeof QUALITIES)[number];

/** Why a reading got its flag; several may apply, so they are bits. */
export const REASON = {
  gross: 1,
  spike: 2,
  rate: 4,
  flat: 8,
  gap: 16,
  clock: 32,
  late: 64,
  retained: 128,
  unit: 256,
  sentinel: 512,
  device: 1024,
} as const;
export const REASON_NAMES = [
  'gross',
  'spike',
  'rate',
  'flat',
  'gap',
  'clock',
  'late',
  'retained',
  'unit',
  'sentinel',
  'device',
] as const satisfies readonly (keyof typeof REASON)[];
export type ReasonName = (typeof REASON_NAMES)[number];

/** The reasons of a mask, by name. */
export function reasonNames(mask: number): ReasonName[] {
  return REASON_NAMES.filter((name) => (mask & REASON[name]) !== 0);
}

/** What a thermometer may tell beside a temperature. */
export const SIDE_QUANTITIES = ['humidity', 'battery', 'voltage', 'resistance', 'signal'] as const;
export type SideQuantity = (typeof SIDE_QUANTITIES)[number];

/** One accepted temperature, as stored and as every later step sees it. `tempC` in hundredths of a degree at best. */
export type Reading = { atMs: number; tempC: number; quality: Quality };

/** A reading on its way into the store. */
export type IncomingReading = Reading & {
  sensorId: string;
  receivedMs: number;
  reasons: number;
  /**
   * `device`: the device's own clock; `age`: how old the payload says it is, taken from the moment of arrival;
   * `uptime`: ms since the device was switched on, `atMs` being that count until it is admitted; `arrival`: none of these.
   */
  timeSource: 'device' | 'age' | 'uptime' | 'arrival';
  /** Seconds until the next reading at the latest, where the payload promises it (SenML `ut`). */
  nextWithinS: number | null;
};

/** A number beside the temperature; the newest is shown, all are kept. `battery` in percent, the others in the unit given. */
export type SideReading = {
  sensorId: string;
  quantity: SideQuantity;
  value: number;
  unit: string;
  atMs: number;
  receivedMs: number;
};

/** A channel that says of itself that nothing is plugged in. */
export type Unplugged = { sensorId: string; receivedMs: number };

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
  'too-deep',
  'too-many-sensors',
  'no-value',
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

/**
 * The JSON object form of a payload on `tongside/reading/<sensor>`. A `time` of any kind is let through: one that cannot be
 * read makes a reading suspect, but does not lose it.
 */
export const ReadingPayloadSchema = z.looseObject({
  value: z.number(),
  unit: z.optional(z.string()),
  time: z.optional(z.unknown()),
});
