import type { ClockSetting } from './config.ts';
import type { Clock } from './ports.ts';

export const systemClock: Clock = { nowMs: () => Date.now(), speed: 1 };

/** A clock that runs `speed` times as fast as the real one, so that a whole evening can be shown in minutes. */
export function demoClock({ realMs, serverMs, speed }: ClockSetting): Clock {
  return { nowMs: () => Math.round(serverMs + (Date.now() - realMs) * speed), speed };
}
