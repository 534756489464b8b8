import type { SteadyClock } from './clock.ts';

export type ClockEvent = {
  /** `stepped`: the computer's clock was moved, ours was not. `slept`: time passed. `adopted`: ours was moved after it. */
  kind: 'stepped' | 'slept' | 'adopted';
  byMs: number;
  nowMs: number;
};

/** Looks at the clock every second, keeps the difference over a restart, and lets it go when nothing is being cooked. */
export class ClockWatch {
  private keptMs: number;
  private readonly o: {
    clock: SteadyClock;
    /** What was kept of an earlier start, ms. */
    keptMs: number;
    /** May throw while nothing can be written: it is tried again at the next beat. */
    keepOffset: (offsetMs: number) => void;
    isCooking: () => boolean;
    tell: (event: ClockEvent) => void;
  };

  constructor(options: ClockWatch['o']) {
    this.o = options;
    this.keptMs = options.keptMs;
  }

  beat(): void {
    const { clock, isCooking, tell } = this.o;
    const found = clock.check();
    if (found.kind === 'slept') tell({ kind: 'slept', byMs: found.forMs, nowMs: clock.nowMs() });
    if (found.kind === 'stepped') tell({ kind: 'stepped', byMs: found.byMs, nowMs: clock.nowMs() });
    if (clock.offsetMs !== 0 && !isCooking()) {
      const byMs = clock.adopt();
      tell({ kind: 'adopted', byMs, nowMs: clock.nowMs() });
    }
    this.keep();
  }

  /** What is not kept would move our time at the next start. */
  private keep(): void {
    const { offsetMs } = this.o.clock;
    if (offsetMs === this.keptMs) return;
    this.o.keepOffset(offsetMs);
    this.keptMs = offsetMs;
  }
}
