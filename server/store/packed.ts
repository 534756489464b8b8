import { QUALITIES, REASON, type IncomingReading, type Quality, type Reading } from '../contract/reading.ts';

/*
 * One integer a reading, so that the usual one takes two bytes:
 *   low 19 bits   hundredths of a degree, two's complement (-2621.44 .. 2621.43 degC)
 *   next 20 bits  delay in whole half-seconds, received - measured (0 .. 145 h; longer ones keep the cap)
 *   next 16 bits  reasons
 *   above         quality: 0 good, 1 not evaluated, 2 suspect, 3 failed, 4 missing
 * A good reading received within half a second has nothing above its temperature.
 */
const CENTI = 100;
const CENTI_SPAN = 2 ** 19;
const DELAY_STEP_MS = 500;
const DELAYS = 2 ** 20;
const REASONS = 2 ** 16;
const FAILED_CODE = QUALITIES.indexOf(4);

/** The mark of the first reading that has a reason or is not good. */
const FIRST_FLAGGED = DELAYS;
const FIRST_FAILED = DELAYS * REASONS * FAILED_CODE;
const bitOf = (reason: number): bigint => BigInt(DELAYS) * BigInt(reason);

/** The part above the temperature, at most 39 bits. */
export function markOf({ quality, reasons, atMs, receivedMs }: IncomingReading): number {
  const steps = Math.floor((receivedMs - atMs) / DELAY_STEP_MS);
  const delay = Math.min(DELAYS - 1, Math.max(0, steps));
  return delay + DELAYS * ((reasons % REASONS) + REASONS * QUALITIES.indexOf(quality));
}
export const centiOf = (tempC: number): number => Math.round(tempC * CENTI);
export const degC = (centi: number): number => centi / CENTI;

/** Whether the store can hold it at all; anything else is a fault of the one who made it. */
export function isStorable({ tempC, atMs, receivedMs }: IncomingReading): boolean {
  const centi = centiOf(tempC);
  const times = Number.isSafeInteger(Math.round(atMs)) && Number.isFinite(receivedMs);
  return times && centi >= -CENTI_SPAN / 2 && centi < CENTI_SPAN / 2;
}

export type PackedRow = { at_ms: number; centi_c: number; mark: number };

export const reasonsOf = (mark: number): number => Math.floor(mark / DELAYS) % REASONS;
/** How long after its own time it was received, ms, to half a second. */
export const delayMsOf = (mark: number): number => (mark % DELAYS) * DELAY_STEP_MS;
function qualityOf(mark: number): Quality {
  return QUALITIES[Math.floor(mark / (DELAYS * REASONS))] ?? 4;
}
export function toReading({ at_ms: atMs, centi_c: centi, mark }: PackedRow): Reading {
  return { atMs, tempC: degC(centi), quality: qualityOf(mark) };
}

/** Charts and roll-ups leave out what failed, what is missing and what is a spike. */
export function isCharted(mark: number): boolean {
  if (mark < FIRST_FLAGGED) return true;
  return mark < FIRST_FAILED && (reasonsOf(mark) & REASON.spike) === 0;
}

const HALF = CENTI_SPAN / 2;
/** The same in SQL, for what looks at a day of readings; the columns `centi_c` and `mark` are worked out from `packed`. */
export const SQL = {
  /** Hundredths of a degree + 2^18, so that they order as they are. */
  shifted: `((packed + ${HALF}) & ${CENTI_SPAN - 1})`,
  shift: HALF,
  /** `packed` from a temperature in hundredths and a mark. */
  pack: '(CAST(? AS INTEGER) + (CAST(? AS INTEGER) << 19))',
  isCharted: `(packed < ${BigInt(FIRST_FLAGGED) * BigInt(CENTI_SPAN) - BigInt(HALF)}
    OR (packed < ${BigInt(FIRST_FAILED) * BigInt(CENTI_SPAN) - BigInt(HALF)}
      AND ((packed + ${HALF}) & ${bitOf(REASON.spike) * BigInt(CENTI_SPAN)}) = 0))`,
  isNotLate: `(((packed + ${HALF}) & ${bitOf(REASON.late) * BigInt(CENTI_SPAN)}) = 0)`,
} as const;
