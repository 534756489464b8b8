import type { SteadyClock } from './clock.ts';

export type ClockEvent = {
  /** `stepped`: the computer's clock was moved, ours was not. `slept`: time passed. `adopted`: ours was moved after it. */
  kind: 'stepped' | 'slept' | 'adopted';
  byMs: number;
  nowMs: number;
};

/** Looks at the clock every second, keeps the difference over a restart, and lets it go when nothing is being cooked. */
export class ClockWatch {
  private readonly o: {
    clock: SteadyClock;
    keepOffset: (offsetMs: number) => void;
    isCooking: () => boolean;
    tell: (event: ClockEvent) => void;
  };

  constructor(options: ClockWatch['o']) {
    this.o = options;
  }

  beat(): void {
    const { clock, keepOffset, isCooking, tell } = this.o;
    const found = clock.check();
    if (found.kind === 'slept') tell({ kind: 'slept', byMs: found.forMs, nowMs: clock.nowMs() });
    if (found.kind === 'stepped') {
      keepOffset(clock.offsetMs);
      tell({ kind: 'stepped', byMs: found.byMs, nowMs: clock.nowMs() });
    }
    if (clock.offsetMs === 0 || isCooking()) return;
    const byMs = clock.adopt();
    keepOffset(0);
    tell({ kind: 'adopted', byMs, nowMs: clock.nowMs() });
  }
}
