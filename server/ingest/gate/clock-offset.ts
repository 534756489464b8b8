/** Envelope over the last 25 to 50 samples, and no older than 5 to 10 minutes. */
const HALF_WINDOW = 25;
const HALF_WINDOW_MS = 5 * 60_000;

/**
 * Lower envelope of (received - device time): what is left of it is the error of the clock, because a message can only be
 * late. The least of the newest half window and the one before it.
 */
export class Envelope {
  private newest = Infinity;
  private older = Infinity;
  private count = 0;
  private sinceMs = NaN;

  get leastMs(): number {
    return Math.min(this.newest, this.older);
  }

  add(offsetMs: number, receivedMs: number): void {
    if (this.count >= HALF_WINDOW || receivedMs - this.sinceMs > HALF_WINDOW_MS) this.turn();
    if (this.count === 0) this.sinceMs = receivedMs;
    this.count += 1;
    if (offsetMs < this.newest) this.newest = offsetMs;
  }

  startAt(offsetMs: number): void {
    this.newest = offsetMs;
    this.older = Infinity;
    this.count = 0;
  }

  private turn(): void {
    this.older = this.newest;
    this.newest = Infinity;
    this.count = 0;
  }
}

/** Offsets are applied in whole seconds, so that small changes of the envelope do not move the times of readings. */
export function wholeSeconds(offsetMs: number): number {
  return Math.floor(offsetMs / 1000) * 1000;
}
