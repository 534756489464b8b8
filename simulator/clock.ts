export type ClockSettings = {
  originRealMs: number;
  originSimMs: number;
  /** Simulated seconds per real second. */
  speed: number;
};
export type SimClock = { nowMs(): number; readonly speed: number };

/** Simulated epoch ms: the origin, and from there `speed` times as fast as the wall. */
export function simulatedMs(settings: ClockSettings, realNowMs: number): number {
  return settings.originSimMs + (realNowMs - settings.originRealMs) * settings.speed;
}

export function createClock(settings: ClockSettings, realNowMs: () => number): SimClock {
  if (!(settings.speed > 0) || !Number.isFinite(settings.speed)) {
    throw new RangeError(`speed: expected a number above 0, got ${String(settings.speed)}`);
  }
  return { speed: settings.speed, nowMs: () => Math.round(simulatedMs(settings, realNowMs())) };
}
