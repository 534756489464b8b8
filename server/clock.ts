import type { ClockSetting } from './config.ts';
import type { Clock } from './ports.ts';

/** A clock that runs `speed` times as fast as the real one, so that a whole evening can be shown in minutes. */
export function demoClock({ realMs, serverMs, speed }: ClockSetting): Clock {
  return { nowMs: () => Math.round(serverMs + (Date.now() - realMs) * speed), speed };
}

/** OURS: a wall clock that differs by less is followed slowly; one that differs by more was moved, ms. */
const STEP_MS = 2_000;
/** How fast a small difference is made up for: 5 ms a second. OURS; durations stay right to half a percent. */
const SLEW = 0.005;

export type ClockSources = {
  /** The computer's clock, which people and networks move, epoch ms. */
  wallMs: () => number;
  /** Runs evenly and is never moved; may stand still while the machine sleeps, ms. */
  monoMs: () => number;
  /** As `monoMs`, but goes on while the machine sleeps, ms. */
  bootMs: () => number;
  /** How far our time was ahead of the computer's clock when it was last asked, ms; 0 at first. */
  offsetMs: number;
};

export type ClockCheck =
  | { kind: 'none' }
  /** The computer's clock was moved; our time went on as before. */
  | { kind: 'stepped'; byMs: number }
  /** The machine was asleep; that time has passed, and our time has moved on by it. */
  | { kind: 'slept'; forMs: number };

export type SteadyClock = Clock & {
  /** To be asked about every second. After a sleep ask again: the clock may have been moved as well. */
  check(): ClockCheck;
  /** How far our time is ahead of the computer's clock since that was moved, ms: to be kept over a restart. */
  readonly offsetMs: number;
  /** Takes over the computer's time, and says by how much ours moved, ms. Only while nothing is watched: delays jump. */
  adopt(): number;
};

/**
 * Time that begins with the computer's clock and goes on evenly, so that no delay, duration or exposure changes when somebody
 * sets the clock in the middle of a cook.
 */
export function steadyClock(sources: ClockSources): SteadyClock {
  return new Steady(sources);
}

class Steady implements SteadyClock {
  readonly speed = 1;
  private readonly sources: ClockSources;
  private aheadMs: number;
  /** Our time at `fromMono`, and what is still to be made up for since then. */
  private fromMs: number;
  private fromMono: number;
  private makeUpMs = 0;
  private seenMono: number;
  private seenBoot: number;

  constructor(sources: ClockSources) {
    this.sources = sources;
    this.aheadMs = sources.offsetMs;
    this.fromMs = sources.wallMs() + this.aheadMs;
    this.fromMono = this.seenMono = sources.monoMs();
    this.seenBoot = sources.bootMs();
  }

  get offsetMs(): number {
    return Math.round(this.aheadMs);
  }

  nowMs(): number {
    return Math.round(this.exactMs());
  }

  check(): ClockCheck {
    const mono = this.sources.monoMs();
    const boot = this.sources.bootMs();
    const sleptMs = boot - this.seenBoot - (mono - this.seenMono);
    this.seenMono = mono;
    this.seenBoot = boot;
    const nowMs = this.exactMs();
    if (sleptMs >= STEP_MS) {
      this.goOnFrom(nowMs + sleptMs, 0);
      return { kind: 'slept', forMs: Math.round(sleptMs) };
    }
    const leftMs = this.sources.wallMs() + this.aheadMs - nowMs;
    if (Math.abs(leftMs) < STEP_MS) {
      this.goOnFrom(nowMs, leftMs);
      return { kind: 'none' };
    }
    this.aheadMs -= leftMs;
    this.goOnFrom(nowMs, 0);
    return { kind: 'stepped', byMs: Math.round(leftMs) };
  }

  adopt(): number {
    const beforeMs = this.exactMs();
    this.aheadMs = 0;
    this.goOnFrom(this.sources.wallMs(), 0);
    return Math.round(this.fromMs - beforeMs);
  }

  private exactMs(): number {
    const runMs = this.sources.monoMs() - this.fromMono;
    const mostMs = SLEW * runMs;
    return this.fromMs + runMs + Math.max(-mostMs, Math.min(mostMs, this.makeUpMs));
  }

  private goOnFrom(ms: number, makeUpMs: number): void {
    this.fromMs = ms;
    this.fromMono = this.sources.monoMs();
    this.makeUpMs = makeUpMs;
  }
}
