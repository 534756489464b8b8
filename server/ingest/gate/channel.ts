import { REASON, type Quality } from '../../contract/reading.ts';
import type { SeatKind } from '../../ports.ts';
import { Intervals } from './intervals.ts';
import { grossFlag } from './qartod.ts';
import { limitsOf, type SeatLimits } from './seat-limits.ts';
import { Standstill } from './standstill.ts';
import { Steps } from './steps.ts';

export type Finding = { quality: Quality; reasons: number };
const GOOD: Finding = { quality: 1, reasons: 0 };
const FAILED: Finding = { quality: 4, reasons: REASON.gross };

/** The quality tests of one sensor in one seat, on readings that ascend in time. In another seat they begin anew. */
export class Channel {
  readonly seat: SeatKind | null;
  private readonly limits: SeatLimits;
  private intervals = new Intervals();
  private steps: Steps;
  private standstill: Standstill;
  private lastMs: number | null = null;
  private promisedS: number | null = null;

  constructor(seat: SeatKind | null) {
    this.seat = seat;
    this.limits = limitsOf(seat);
    this.steps = new Steps(this.limits);
    this.standstill = new Standstill(this.limits.neverStillAboveC);
  }

  /** To judge a reading that may turn out not to count. */
  copy(): Channel {
    const copy = new Channel(this.seat);
    copy.intervals = this.intervals.copy();
    copy.steps = this.steps.copy();
    copy.standstill = this.standstill.copy();
    copy.lastMs = this.lastMs;
    copy.promisedS = this.promisedS;
    return copy;
  }

  /** The tests that need no other reading. */
  judgeAlone(tempC: number): Finding {
    const quality = grossFlag(tempC, this.limits.gross);
    return quality === 1 ? GOOD : { quality, reasons: REASON.gross };
  }

  judge({ atMs, tempC, nextWithinS }: { atMs: number; tempC: number; nextWithinS: number | null }): Finding {
    const isAfterGap = this.lastMs !== null && this.intervals.isGap(atMs - this.lastMs, this.promisedS);
    this.lastMs = atMs;
    this.promisedS = nextWithinS;
    const gap = isAfterGap ? REASON.gap : 0;
    const gross = grossFlag(tempC, this.limits.gross);
    if (gross === 4) return gap === 0 ? FAILED : { quality: 4, reasons: REASON.gross | gap };
    const found = this.changeOf(atMs, tempC, isAfterGap);
    if (found === GOOD && gross === 1) return gap === 0 ? GOOD : { quality: 1, reasons: gap };
    return {
      quality: found.quality > gross ? found.quality : gross,
      reasons: found.reasons | gap | (gross === 1 ? 0 : REASON.gross),
    };
  }

  private changeOf(atMs: number, tempC: number, isAfterGap: boolean): Finding {
    switch (this.steps.judge({ atMs, tempC })) {
      case 'spike':
        return { quality: 3, reasons: REASON.spike };
      case 'spike-failed':
        return { quality: 4, reasons: REASON.spike };
      case 'rate':
        return { quality: 3, reasons: REASON.rate };
      case 'good':
        break;
    }
    switch (this.standstill.judge(atMs, tempC, isAfterGap)) {
      case 'stuck':
        return { quality: 3, reasons: REASON.flat };
      case 'still':
        return { quality: 1, reasons: REASON.flat };
      case 'moves':
        return GOOD;
    }
  }
}
