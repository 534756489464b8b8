import type { SeatLimits } from './seat-limits.ts';

const GOOD_KEPT = 5;
/** A new level is believed at the third reading in a row that agrees with the one before it. */
const BELIEVED_AT = 3;
/** Hampel 1974: a value is an outlier beyond 3 S of the median, S = 1.4826 times the median absolute deviation. */
const HAMPEL_S = 3;
const S_PER_MAD = 1.4826;
/** OURS: three times the suspect threshold fails. */
const FAIL_TIMES = 3;
/** What a common digital sensor gives before its first conversion: its power-on value, from its data sheet (from memory). */
const POWER_ON_C = 85;
/** Rounding to a tenth makes 0.6 degC/min of nothing within ten seconds, and 6 within one. */
const RATE_SPAN_MS = 10_000;
const MS_PER_MIN = 60_000;

type Point = { atMs: number; tempC: number };
export type StepFinding = 'good' | 'spike' | 'spike-failed' | 'rate';

/**
 * Spikes and impossible rates in readings as they come, by those before alone. A spike is far from the newest good reading
 * and from the median of the last five; a step is suspect twice and then believed. A suspect reading is no measure for the next.
 */
export class Steps {
  private readonly limits: SeatLimits;
  private good: number[] = [];
  private at = 0;
  private lastGood: Point | null = null;
  private before: Point | null = null;
  private suspects = 0;
  private rateFrom: Point | null = null;
  private rateNext: Point | null = null;

  constructor(limits: SeatLimits) {
    this.limits = limits;
  }

  copy(): Steps {
    const copy = Object.assign(new Steps(this.limits), this);
    copy.good = [...this.good];
    return copy;
  }

  judge(point: Point): StepFinding {
    const found = this.spikeOf(point);
    this.before = point;
    if (found !== 'good') return found;
    this.suspects = 0;
    this.lastGood = point;
    this.good[this.at] = point.tempC;
    this.at = (this.at + 1) % GOOD_KEPT;
    return this.isTooFast(point) ? 'rate' : 'good';
  }

  private spikeOf(point: Point): StepFinding {
    const { lastGood } = this;
    if (lastGood === null) {
      return point.tempC === POWER_ON_C && !this.isBelieved(point) ? 'spike' : 'good';
    }
    const allowedC = this.allowedC(lastGood, point);
    const fromLastC = Math.abs(point.tempC - lastGood.tempC);
    if (fromLastC <= allowedC) return 'good';
    const middleC = median(this.good);
    const offC = Math.min(fromLastC, Math.abs(point.tempC - middleC));
    const scatterC = S_PER_MAD * median(this.good.map((tempC) => Math.abs(tempC - middleC)));
    const limitC = Math.max(allowedC, HAMPEL_S * scatterC);
    if (offC <= limitC || this.isBelieved(point)) return 'good';
    const couldRaise = this.limits.raises === (point.tempC > lastGood.tempC ? 'up' : 'down');
    return offC > FAIL_TIMES * limitC && !couldRaise ? 'spike-failed' : 'spike';
  }

  private allowedC(from: Point, to: Point): number {
    const { stepC, stepCPerMin } = this.limits;
    return Math.max(stepC, (stepCPerMin * (to.atMs - from.atMs)) / MS_PER_MIN);
  }

  /** Counts suspects that agree; at the third the level has changed and everything before it is forgotten. */
  private isBelieved(point: Point): boolean {
    const { before } = this;
    const agrees = before !== null && Math.abs(point.tempC - before.tempC) <= this.allowedC(before, point);
    this.suspects = agrees && this.suspects > 0 ? this.suspects + 1 : 1;
    if (this.suspects < BELIEVED_AT) return false;
    this.good = [];
    this.at = 0;
    this.rateFrom = null;
    this.rateNext = null;
    return true;
  }

  private isTooFast(point: Point): boolean {
    if (this.rateNext === null || point.atMs - this.rateNext.atMs >= RATE_SPAN_MS) {
      this.rateFrom = this.rateNext;
      this.rateNext = point;
    }
    if (this.rateFrom === null) return false;
    const { atMs, tempC } = this.rateFrom;
    const cPerMin = (MS_PER_MIN * Math.abs(point.tempC - tempC)) / (point.atMs - atMs);
    return cPerMin > this.limits.rateCPerMin;
  }
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const upper = sorted[Math.floor(sorted.length / 2)] ?? NaN;
  const lower = sorted[Math.floor((sorted.length - 1) / 2)] ?? NaN;
  return (upper + lower) / 2;
}
