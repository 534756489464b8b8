import { uptime } from 'node:os';
import { ClockWatch, type ClockEvent } from './clock-watch.ts';
import { demoClock, steadyClock, type SteadyClock } from './clock.ts';
import type { Config } from './config.ts';
import type { Clock, Gate, Log, Outage, OutageLog } from './ports.ts';

const LOOK_MS = 1_000;
const OFFSET_KEY = 'clock-offset-ms';

type Kept = {
  get(name: typeof OFFSET_KEY): string | null;
  set(name: typeof OFFSET_KEY, value: string): void;
};
type Watching = {
  outages: Pick<OutageLog, 'add'>;
  gate: Gate;
  log: Log;
  /** While something is being cooked our time goes on as it was, whatever the computer's clock does. */
  isCooking: () => boolean;
};
export type Timekeeping = {
  clock: Clock;
  steps(): number;
  watch(watching: Watching): void;
  stop(): void;
};

/**
 * The clock by which everything is done, and the look at whether somebody moved the computer's.
 *
 * @param newestMs  the newest reading there is, epoch ms: our time never begins before it, as it would on a board without a
 *   clock that was switched off; what was measured then would pass for what is measured now
 */
export function keepTime(config: Config, settings: Kept, newestMs: number | null): Timekeeping {
  if (config.demoClock) return withoutWatch(demoClock(config.demoClock));
  const keptMs = Number(settings.get(OFFSET_KEY) ?? 0) || 0;
  const behindMs = newestMs === null ? 0 : Math.max(0, newestMs + 1 - (Date.now() + keptMs));
  const steady = steadyClock({
    wallMs: () => Date.now(),
    monoMs: () => performance.now(),
    bootMs: () => uptime() * 1_000,
    offsetMs: keptMs + behindMs,
  });
  let steps = 0;
  let timer: NodeJS.Timeout | undefined;
  return {
    clock: steady,
    steps: () => steps,
    watch: (watching) => {
      if (behindMs > 0) watching.outages.add(behindAtStart(steady.nowMs(), behindMs));
      const watch = watchOf(steady, settings, {
        ...watching,
        keptMs,
        onStep: () => {
          steps += 1;
        },
      });
      timer = setInterval(() => {
        try {
          watch.beat();
        } catch (err: unknown) {
          watching.log.error({ err }, 'the state of the clock could not be kept'); // the store says so by itself
        }
      }, LOOK_MS);
    },
    stop: () => clearInterval(timer),
  };
}

function behindAtStart(nowMs: number, behindMs: number): Outage {
  const by = `${Math.round(behindMs / 1_000)} s`;
  const detail = `at the start the computer's clock was ${by} behind the last reading; times go on from that`;
  return { kind: 'clock-stepped', fromMs: nowMs, toMs: nowMs, detail };
}

function withoutWatch(clock: Clock): Timekeeping {
  const nothing = (): void => undefined;
  return { clock, steps: () => 0, watch: nothing, stop: nothing };
}

function watchOf(
  clock: SteadyClock,
  settings: Kept,
  { outages, gate, log, isCooking, keptMs, onStep }: Watching & { keptMs: number; onStep: () => void },
): ClockWatch {
  return new ClockWatch({
    clock,
    keptMs,
    keepOffset: (offsetMs) => settings.set(OFFSET_KEY, String(offsetMs)),
    isCooking,
    tell: (event) => {
      log.warn({ ...event }, "the computer's clock was moved, or the machine slept");
      if (event.kind === 'stepped') onStep();
      if (event.kind === 'adopted') gate.serverClockStepped();
      outages.add({
        kind: 'clock-stepped',
        fromMs: event.kind === 'slept' ? event.nowMs - event.byMs : event.nowMs,
        toMs: event.nowMs,
        detail: wordsOf(event),
      });
    },
  });
}

function wordsOf({ kind, byMs }: ClockEvent): string {
  const by = `${Math.round(Math.abs(byMs) / 1_000)} s`;
  const way = byMs < 0 ? 'back' : 'forward';
  switch (kind) {
    case 'stepped':
      return `the computer's clock was put ${way} by ${by}; times go on as they were`;
    case 'slept':
      return `the computer slept for ${by}`;
    case 'adopted':
      return `our time was put ${way} by ${by}, to the computer's clock, while nothing was cooking`;
  }
}
