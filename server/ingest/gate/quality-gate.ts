import type { SensorClock } from '../../contract/probe.ts';
import { REASON, type IncomingReading, type Quality } from '../../contract/reading.ts';
import type { Gate, GateStore } from '../../ports.ts';
import { Channel } from './channel.ts';
import { DeviceClock, FUTURE_TOLERANCE_MS, isAsItArrives } from './device-clock.ts';
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
  /** The same of what is on disk. Behind the watermark only while a group is on its way there. */
  storedMs: number;
  lastArrivalMs: number;
};
type Timed = { state: SensorState; timed: IncomingReading };

/**
 * Decides once, as a reading comes in and by what came before, when it counts and how far it is believed. What was said of a
 * reading by the one who sent it stays: nothing here makes a reading better.
 */
export class QualityGate implements Gate {
  private readonly sensors = new Map<string, SensorState>();
  /** Whose watermark was raised by what is on its way to the disk. */
  private raised: SensorState[] = [];
  /** Perhaps repeats, on their way to the disk: a measure for the next only when they turn out to be new. */
  private readonly perhapsRepeats = new Map<IncomingReading, Timed>();

  admit(reading: IncomingReading, { seat, isRepeat, store }: Parameters<Gate['admit']>[1]): IncomingReading {
    const state = this.stateOf(reading, store);
    const timed = timedBy(state, reading, isRepeat ? store : null);
    const isLate = timed.atMs < state.watermarkMs;
    const isNew = timed.atMs > state.watermarkMs;
    if (state.channel?.seat !== seat) state.channel = new Channel(seat);
    // what was bad when it came is no measure for the next; nor is what is not the newest
    const isMeasure = isNew && isBelieved(reading);
    const channel = isMeasure && isRepeat ? state.channel.copy() : state.channel;
    const found = isMeasure ? channel.judge(timed) : channel.judgeAlone(timed.tempC);
    const reasons = timed.reasons | found.reasons | (isLate ? REASON.late : 0);
    const quality = worse(timed.quality, found.quality);
    const admitted =
      reasons === timed.reasons && quality === timed.quality ? timed : { ...timed, quality, reasons };
    if (isNew && isRepeat) this.perhapsRepeats.set(admitted, { state, timed });
    else if (isNew) this.raise(state, timed.atMs);
    return admitted;
  }

  stored(readings: readonly IncomingReading[]): void {
    if (this.perhapsRepeats.size > 0) this.count(readings);
    for (const state of this.raised) state.storedMs = state.watermarkMs;
    this.settle();
  }

  takeBack(): void {
    for (const state of this.raised) {
      state.watermarkMs = state.storedMs;
      state.channel = null;
    }
    this.settle();
  }

  clockOf(sensorId: string): SensorClock {
    return this.sensors.get(sensorId)?.clock?.view() ?? NO_CLOCK;
  }

  serverClockStepped(): void {
    this.sensors.clear();
    this.settle();
  }

  private raise(state: SensorState, atMs: number): void {
    if (state.watermarkMs === state.storedMs) this.raised.push(state);
    state.watermarkMs = atMs;
  }

  /** Of what was perhaps a repeat, that which was none. */
  private count(readings: readonly IncomingReading[]): void {
    for (const reading of readings) {
      const found = this.perhapsRepeats.get(reading);
      if (!found || found.timed.atMs <= found.state.watermarkMs) continue;
      this.raise(found.state, found.timed.atMs);
      if (isBelieved(found.timed)) found.state.channel?.judge(found.timed);
    }
  }

  private settle(): void {
    if (this.raised.length > 0) this.raised = [];
    this.perhapsRepeats.clear();
  }

  private stateOf({ sensorId, receivedMs }: IncomingReading, store: GateStore): SensorState {
    const known = this.sensors.get(sensorId);
    if (known) return known;
    const newestMs = store.newestMs(sensorId) ?? -Infinity;
    // what is ahead of now was stored before the server's clock was put back: beside it everything would be late
    const storedMs = newestMs <= receivedMs + FUTURE_TOLERANCE_MS ? newestMs : -Infinity;
    const state: SensorState = {
      clock: null,
      uptime: null,
      channel: null,
      watermarkMs: storedMs,
      storedMs,
      lastArrivalMs: -Infinity,
    };
    this.sensors.set(sensorId, state);
    return state;
  }
}

/** @param repeatsOf - the store in which the reading may be already; null when it comes for the first time */
function timedBy(state: SensorState, reading: IncomingReading, repeatsOf: GateStore | null): IncomingReading {
  switch (reading.timeSource) {
    case 'arrival':
      return onArrival(state, reading, 0);
    case 'age':
      return notTooOld(reading);
    case 'uptime':
      state.uptime ??= new UptimeClock();
      return notTooOld({ ...reading, atMs: state.uptime.place(reading.atMs, reading.receivedMs) });
    case 'device':
      return byDevice(state, reading, repeatsOf);
  }
}

function byDevice(
  state: SensorState,
  reading: IncomingReading,
  repeatsOf: GateStore | null,
): IncomingReading {
  if (!(reading.atMs >= NO_CLOCK_BEFORE_MS) && !isAsItArrives(reading.atMs, reading.receivedMs)) {
    state.clock = null;
    return onArrival(state, reading, REASON.clock);
  }
  state.clock ??= new DeviceClock();
  const time = state.clock.place(reading.atMs, reading.receivedMs);
  // it came as it was measured, and so was kept under its own time; on its way a second time it looks like a wrong clock
  if (time.kind === 'kept' || repeatsOf?.has(reading)) return notTooOld(reading);
  if (time.kind === 'shifted')
    return notTooOld({ ...reading, atMs: time.atMs, reasons: reading.reasons | REASON.clock });
  return suspect(onArrival(state, reading, REASON.clock));
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

function isBelieved(reading: IncomingReading): boolean {
  return reading.quality < 3;
}

/** Failed and missing stay what they are. */
function worse(quality: Quality, found: Quality): Quality {
  return found > quality ? found : quality;
}
