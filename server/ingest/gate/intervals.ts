const KEPT = 20;
/** The first guess of the interval needs so many. */
const FEWEST = 5;
/** OURS: three intervals, and never sooner than half a minute. */
const MISSED = 3;
const GAP_AT_LEAST_MS = 30_000;

/** How often one sensor sends, and whether something is missing before a reading. */
export class Intervals {
  private newestMs: number[] = [];
  private at = 0;
  private heard = 0;
  private medianMs = 0;

  copy(): Intervals {
    const copy = Object.assign(new Intervals(), this);
    copy.newestMs = [...this.newestMs];
    return copy;
  }

  /**
   * @param gapMs - since the reading before, more than 0
   * @param promisedS - what that one promised, s; null = nothing
   */
  isGap(gapMs: number, promisedS: number | null): boolean {
    const longestMs = promisedS === null ? this.longestMs() : promisedS * 1000;
    this.note(gapMs);
    return gapMs > longestMs;
  }

  private longestMs(): number {
    return this.medianMs === 0 ? Infinity : Math.max(MISSED * this.medianMs, GAP_AT_LEAST_MS);
  }

  /** The median is taken anew once a round only, so that a reading costs the same however many there are. */
  private note(gapMs: number): void {
    this.newestMs[this.at] = gapMs;
    this.at = (this.at + 1) % KEPT;
    this.heard += 1;
    if (this.at !== 0 && this.heard !== FEWEST && this.heard !== 2 * FEWEST) return;
    const sorted = [...this.newestMs].sort((a, b) => a - b);
    this.medianMs = sorted[Math.floor(sorted.length / 2)] ?? 0;
  }
}
