import { Envelope, wholeSeconds } from './clock-offset.ts';

/** A counter of 32 bits in milliseconds begins again after 49.7 days: 2^32 ms, by definition. */
const WRAP_MS = 2 ** 32;
/** OURS: how much more than the time between two arrivals a counter may have run on: it was kept back. */
const KEPT_BACK_MS = 3_600_000;
/** OURS: how much earlier than the last message a device may seem to have been switched on, and how unevenly messages come. */
const BOOT_TOLERANCE_MS = 2_000;
/** OURS: what a count goes on by from one message to the next while no other two are known. */
const FIRST_STEP_MS = 10_000;
const BELOW_MS = 500;
const ABOVE_MS = 1_500;

/**
 * Times from a counter of milliseconds since the device was switched on. The moment of switching on is the least of
 * (received - counter), in whole seconds, for each time it was switched on.
 *
 * A board that sleeps and wakes counts from nothing each time, often to the same number. So a count that fits into the time
 * since the message before, and went on for less than that, may be of a new start, or have been kept back for longer than the
 * device had been on. It is of a new start where there was one before, or where it went on for less than it should have.
 *
 * What was kept back before the first message that came straight through lands too late: nothing tells it apart. But it never
 * gets the time of another.
 */
export class UptimeClock {
  private envelope = new Envelope();
  private bootMs = NaN;
  private wraps = 0;
  private lastMs = -Infinity;
  private lastReceivedMs = -Infinity;
  private lastAtMs = -Infinity;
  private stepMs = FIRST_STEP_MS;
  private hasBegunAnew = false;

  /**
   * @param countMs - as sent, below 2^32
   * @returns epoch ms
   */
  place(countMs: number, receivedMs: number): number {
    const upMs = this.unwrapped(countMs, receivedMs);
    if (upMs === this.lastMs) return this.lastAtMs; // comes a second time, as does what is older
    if (upMs < this.lastMs) return this.bootMs + upMs;
    if (this.lastMs !== -Infinity) this.stepMs = upMs - this.lastMs;
    this.lastMs = upMs;
    this.lastReceivedMs = receivedMs;
    this.envelope.add(receivedMs - upMs, receivedMs);
    const leftMs = this.envelope.leastMs - this.bootMs;
    if (!(leftMs >= -BELOW_MS && leftMs < ABOVE_MS)) this.bootMs = wholeSeconds(this.envelope.leastMs);
    this.lastAtMs = Math.max(this.bootMs + upMs, this.lastAtMs + 1);
    return this.lastAtMs;
  }

  private unwrapped(countMs: number, receivedMs: number): number {
    const upMs = countMs + this.wraps * WRAP_MS;
    const sinceMs = receivedMs - this.lastReceivedMs;
    if (upMs >= this.lastMs) {
      if (!this.isNewStart(countMs, upMs - this.lastMs, sinceMs)) return upMs;
    } else {
      const onMs = upMs + WRAP_MS - this.lastMs;
      if (onMs <= sinceMs + KEPT_BACK_MS) {
        this.wraps += 1;
        return upMs + WRAP_MS;
      }
      if (!fits(countMs, sinceMs)) return upMs;
    }
    this.hasBegunAnew = true;
    this.envelope = new Envelope();
    this.bootMs = NaN;
    this.wraps = 0;
    this.lastMs = -Infinity;
    return countMs;
  }

  private isNewStart(countMs: number, wentOnMs: number, sinceMs: number): boolean {
    if (!fits(countMs, sinceMs)) return false;
    if (sinceMs - wentOnMs <= Math.min(BOOT_TOLERANCE_MS, sinceMs / 2)) return false;
    return this.hasBegunAnew || wentOnMs < this.stepMs / 2;
  }
}

/** Whether a device can have been switched on since the message before. */
function fits(countMs: number, sinceMs: number): boolean {
  return countMs <= sinceMs + BOOT_TOLERANCE_MS;
}
