/** OURS: exact repeats for longer than this are the flat line of QARTOD, with a tolerance of nothing. */
const STILL_MS = 30 * 60_000;
/** Of a channel that shows whole or half degrees only, standing still says nothing. */
const FINE_STEP_C = 0.1;
const ROUNDING_C = 1e-6;
/** A tooth: out and back by two of the channel's steps at least. One step is rounding, and stands still in the middle of it. */
const TOOTH_STEPS = 2;
const SHARE_KEPT = 1 / 200;
/** OURS: with ten teeth to be expected, none at all is no chance (e^-10). */
const TEETH_MISSED = 10;
/** A longer run of repeats is judged and no longer counted as what the channel is like. */
const LEARN_WITHIN_MS = 5 * 60_000;

export type StillFinding = 'moves' | 'still' | 'stuck';

/**
 * Exact repeats for more than half an hour. Much that is real stands still: a bag on ice, a pot at its simmer, a core that
 * stalls, so repeats alone are `still` and are believed. `stuck` is only what cannot be real: a channel that was noisy by more
 * than its own steps, or one in a place that never stands still.
 */
export class Standstill {
  private readonly neverStillAboveC: number;
  private sinceMs = NaN;
  private count = 0;
  private tempC = NaN;
  private turningC = NaN;
  private stepC = Infinity;
  private toothShare = 0;

  constructor(neverStillAboveC: number) {
    this.neverStillAboveC = neverStillAboveC;
  }

  copy(): Standstill {
    return Object.assign(new Standstill(this.neverStillAboveC), this);
  }

  /** @param afterGap - repeats on both sides of a gap are two runs */
  judge(atMs: number, tempC: number, afterGap: boolean): StillFinding {
    if (afterGap || !(atMs - this.sinceMs > LEARN_WITHIN_MS)) this.learn(tempC);
    if (tempC !== this.tempC || afterGap) {
      const movedC = Math.abs(tempC - this.tempC);
      if (movedC > ROUNDING_C && movedC < this.stepC) this.stepC = movedC;
      this.sinceMs = atMs;
      this.count = 0;
      if (tempC !== this.tempC) this.turningC = this.tempC;
      this.tempC = tempC;
      return 'moves';
    }
    this.count += 1;
    if (!(atMs - this.sinceMs > STILL_MS) || !(this.stepC <= FINE_STEP_C + ROUNDING_C)) return 'moves';
    const isNoisy = this.count * this.toothShare >= TEETH_MISSED;
    return isNoisy || tempC > this.neverStillAboveC ? 'stuck' : 'still';
  }

  /** Whether this reading closes a tooth: the one before it stuck out on both sides. */
  private learn(tempC: number): void {
    const outC = this.tempC - this.turningC;
    const backC = this.tempC - tempC;
    const leastC = TOOTH_STEPS * this.stepC - ROUNDING_C;
    const isTooth = outC * backC > 0 && Math.abs(outC) >= leastC && Math.abs(backC) >= leastC;
    this.toothShare += SHARE_KEPT * ((isTooth ? 1 : 0) - this.toothShare);
  }
}
