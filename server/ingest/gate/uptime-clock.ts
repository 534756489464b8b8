import { Envelope, wholeSeconds } from './clock-offset.ts';

/** A counter of 32 bits in milliseconds begins again after 49.7 days: 2^32 ms, by definition. */
const WRAP_MS = 2 ** 32;
/** OURS: how much more than the time between two arrivals a counter may have run on: it was kept back. */
const KEPT_BACK_MS = 3_600_000;
/** OURS: how much earlier than the last message a device may seem to have been switched on. */
const BOOT_TOLERANCE_MS = 2_000;
const BELOW_MS = 500;
const ABOVE_MS = 1_500;

/**
 * Times from a counter of milliseconds since the device was switched on. The moment of switching on is the least of
 * (received - counter), in whole seconds, for each time it was switched on.
 *
 * What was kept back before the first message that came straight through lands too late: nothing tells it apart.
 */
export class UptimeClock {
  private envelope = new Envelope();
  private bootMs = NaN;
  private wraps = 0;
  private lastMs = -Infinity;
  private lastReceivedMs = -Infinity;

  /**
   * @param countMs - as sent, below 2^32
   * @returns epoch ms
   */
  place(countMs: number, receivedMs: number): number {
    const upMs = this.unwrapped(countMs, receivedMs);
    if (upMs < this.lastMs) return this.bootMs + upMs; // comes a second time
    this.lastMs = upMs;
    this.lastReceivedMs = receivedMs;
    this.envelope.add(receivedMs - upMs, receivedMs);
    const leftMs = this.envelope.leastMs - this.bootMs;
    if (!(leftMs >= -BELOW_MS && leftMs < ABOVE_MS)) this.bootMs = wholeSeconds(this.envelope.leastMs);
    return this.bootMs + upMs;
  }

  private unwrapped(countMs: number, receivedMs: number): number {
    const upMs = countMs + this.wraps * WRAP_MS;
    if (!(upMs < this.lastMs)) return upMs;
    const onMs = upMs + WRAP_MS - this.lastMs;
    if (onMs <= receivedMs - this.lastReceivedMs + KEPT_BACK_MS) {
      this.wraps += 1;
      return upMs + WRAP_MS;
    }
    if (receivedMs - countMs < this.lastReceivedMs - BOOT_TOLERANCE_MS) return upMs;
    this.envelope = new Envelope();
    this.bootMs = NaN;
    this.wraps = 0;
    this.lastMs = -Infinity;
    return countMs;
  }
}
