import type { SensorClock } from '../../contract/probe.ts';
import { REASON, type IncomingReading, type Quality } from '../../contract/reading.ts';
import type { Gate, SeatKind } from '../../ports.ts';
import { Channel } from './channel.ts';
import { DeviceClock } from './device-clock.ts';
import { UptimeClock } from './uptime-clock.ts';

/** OURS: readings older than this are history of another day, ms. */
const OLDEST_MS = 24 * 3_600_000;
/** Boards without a clock start at 1970 or at their build date: before this there is no time at all. */
const NO_CLOCK_BEFORE_MS = Date.UTC(2020, 0, 1);
const NO_CLOCK: SensorClock = { kind: 'none', behindMs: null };

type SensorState = {
  clock: DeviceClock | null;
  uptime: UptimeClock | null;
  channel: Channel | null;
  /** The newest moment that was let through, epoch ms. */
  watermarkMs: number;
  /** The oldest of those that could not be stored and have not come again; Infinity when there is none. */
  lostFromMs: number;
  lastArrivalMs: number;
};

/**
 * Decides once, as a reading comes in and by what came before, when it counts and how far it is believed. What was said of a
 * reading by the one who sent it stays: nothing here makes a reading better.
 */
export class QualityGate implements Gate {
  private readonly sensors = new Map<string, SensorState>();

  admit(reading: IncomingReading, { seat }: { nowMs: number; seat: SeatKind | null }): IncomingReading {
    const state = this.stateOf(reading.sensorId);
    const timed = timedBy(state, reading);
    const isLate = timed.atMs < state.watermarkMs;
    const isNew = timed.atMs > state.watermarkMs;
    if (isNew) state.watermarkMs = timed.atMs;
    if (timed.atMs <= state.lostFromMs) state.lostFromMs = Infinity;
    if (state.channel?.seat !== seat) state.channel = new Channel(seat);
    // what was bad when it came is no measure for the next; nor is what is not the newest
    const found =
      isNew && reading.quality < 3 ? state.channel.judge(timed) : state.channel.judgeAlone(timed.tempC);
    const reasons = timed.reasons | found.reasons | (isLate ? REASON.late : 0);
    const quality = worse(timed.quality, found.quality);
    return reasons === timed.reasons && quality === timed.quality ? timed : { ...timed, quality, reasons };
  }

  takeBack(readings: readonly IncomingReading[]): void {
    for (const { sensorId, atMs, reasons } of readings) {
      const state = this.sensors.get(sensorId);
      if (!state || (reasons & REASON.late) !== 0) continue;
      state.lostFromMs = Math.min(state.lostFromMs, atMs);
      state.watermarkMs = state.lostFromMs - 1;
      state.channel = null;
    }
  }

  clockOf(sensorId: string): SensorClock {
    return this.sensors.get(sensorId)?.clock?.view() ?? NO_CLOCK;
  }

  serverClockStepped(): void {
    this.sensors.clear();
  }

  private stateOf(sensorId: string): SensorState {
    const known = this.sensors.get(sensorId);
    if (known) return known;
    const state: SensorState = {
      clock: null,
      uptime: null,
      channel: null,
      watermarkMs: -Infinity,
      lostFromMs: Infinity,
      lastArrivalMs: -Infinity,
    };
    this.sensors.set(sensorId, state);
    return state;
  }
}

function timedBy(state: SensorState, reading: IncomingReading): IncomingReading {
  switch (reading.timeSource) {
    case 'arrival':
      return onArrival(state, reading, 0);
    case 'age':
      return notTooOld(reading);
    case 'uptime':
      state.uptime ??= new UptimeClock();
      return notTooOld({ ...reading, atMs: state.uptime.place(reading.atMs, reading.receivedMs) });
    case 'device':
      return byDevice(state, reading);
  }
}

function byDevice(state: SensorState, reading: IncomingReading): IncomingReading {
  if (!(reading.atMs >= NO_CLOCK_BEFORE_MS)) {
    state.clock = null;
    return onArrival(state, reading, REASON.clock);
  }
  state.clock ??= new DeviceClock();
  const time = state.clock.place(reading.atMs, reading.receivedMs);
  switch (time.kind) {
    case 'kept':
      return notTooOld(reading);
    case 'shifted':
      return notTooOld({ ...reading, atMs: time.atMs, reasons: reading.reasons | REASON.clock });
    case 'ahead':
    case 'jumping':
      return suspect(onArrival(state, reading, REASON.clock));
  }
}

/** Readings without a time of their own that arrive in the same millisecond are told apart by one more. */
function onArrival(state: SensorState, reading: IncomingReading, reason: number): IncomingReading {
  const atMs = Math.max(reading.receivedMs, state.lastArrivalMs + 1);
  state.lastArrivalMs = atMs;
  if (atMs === reading.atMs && reason === 0) return reading;
  return { ...reading, atMs, timeSource: 'arrival', reasons: reading.reasons | reason };
}

function notTooOld(reading: IncomingReading): IncomingReading {
  if (reading.atMs >= reading.receivedMs - OLDEST_MS) return reading;
  return suspect({ ...reading, reasons: reading.reasons | REASON.clock });
}

function suspect(reading: IncomingReading): IncomingReading {
  return { ...reading, quality: worse(reading.quality, 3) };
}

/** Failed and missing stay what they are. */
function worse(quality: Quality, found: Quality): Quality {
  return found > quality ? found : quality;
}
