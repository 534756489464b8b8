import type { SensorClock } from '../../contract/probe.ts';
import { Envelope, wholeSeconds } from './clock-offset.ts';

/** OURS: a reading that is no further than this from its arrival came at once and by a right clock, ms. */
const AT_ONCE_MS = 2_000;
/**
 * OURS: a clock that is off by no more than this is believed as it is, ms. Further than AT_ONCE_MS by what messages usually take
 * more than the quickest, so that not some readings of a clock are corrected and those between them came at once.
 */
const RIGHT_BEHIND_MS = 2_500;
const RIGHT_AHEAD_MS = 3_000;
/** OURS: a reading that is further ahead of its arrival than this has a wrong clock, ms. */
export const FUTURE_TOLERANCE_MS = 5_000;
/** OURS: an applied offset stays until it is off by more than this, ms. */
const MOVES_BEYOND_MS = 1_000;
/** OURS: an offset is stable when the readings of so long, and so many, agree within ALIKE_WITHIN_MS. */
const ALIKE_WITHIN_MS = 2_000;
const STABLE_AFTER_MS = 20_000;
const STABLE_SAMPLES = 3;
/** OURS: a clock that goes back or jumps ahead more than about once in ten readings tells no time; until about none in fifty. */
const JUMPING_FROM = 5;
const STEADY_BELOW = 1;
const JUMPS_KEPT = 49 / 50;
/** So many changes of the offset are remembered, for messages that come a second time. */
const PIECES_KEPT = 4;

export type DeviceTime =
  | { kind: 'kept' | 'shifted'; atMs: number }
  /** Its time cannot be true; the moment of arrival is all there is. */
  | { kind: 'ahead' | 'jumping' };

/**
 * Such a reading keeps its own time whatever is known of the clock: by nothing but that its repeat is known, since no mark of
 * its message is kept.
 */
export function isAsItArrives(deviceMs: number, receivedMs: number): boolean {
  return Math.abs(receivedMs - deviceMs) <= AT_ONCE_MS;
}

type Piece = { fromDeviceMs: number; offsetMs: number };
type Run = { leastMs: number; mostMs: number; count: number; fromReceivedMs: number };

/**
 * What one device's clock is worth. The clock is believed until there is proof against it: only a reading ahead of its own
 * arrival is proof at once. Behind may as well be a reading that was kept back, so a clock counts as behind only when no
 * reading of the last fifty came close and the newest agree for twenty seconds; what comes in a burst never does.
 *
 * The offset that is applied moves in whole seconds and is a function of the device's own time, so a message that comes twice
 * gets the same time twice. What is learnt is lost with the process: until then a clock that is off is taken at its word again.
 */
export class DeviceClock {
  private readonly envelope = new Envelope();
  private pieces: [Piece, ...Piece[]] = [{ fromDeviceMs: -Infinity, offsetMs: 0 }];
  private run: Run = { leastMs: Infinity, mostMs: -Infinity, count: 0, fromReceivedMs: NaN };
  private jumps = 0;
  private isJumping = false;
  private isAhead = false;
  private lastOldMs = -Infinity;

  /** One reading: its own time and that of its arrival, epoch ms. */
  place(deviceMs: number, receivedMs: number): DeviceTime {
    const behindMs = receivedMs - deviceMs;
    const isInStep = this.joinRun(behindMs, receivedMs);
    this.jumps *= JUMPS_KEPT;
    const leftMs = behindMs - this.offsetAt(deviceMs);
    this.isAhead = leftMs < -FUTURE_TOLERANCE_MS;
    const isOld = leftMs > ALIKE_WITHIN_MS;
    if (!isInStep && (this.isAhead || (isOld && deviceMs < this.lastOldMs - ALIKE_WITHIN_MS)))
      this.jumps += 1;
    if (isOld) this.lastOldMs = deviceMs;
    if (!this.isAhead) this.envelope.add(behindMs, receivedMs);
    this.isJumping = this.jumps >= (this.isJumping ? STEADY_BELOW : JUMPING_FROM);
    if (!this.isJumping) this.learn(behindMs, deviceMs, receivedMs);
    if (isAsItArrives(deviceMs, receivedMs)) return { kind: 'kept', atMs: deviceMs };
    if (this.isJumping) return { kind: 'jumping' };
    const offsetMs = this.offsetAt(deviceMs);
    const atMs = deviceMs + offsetMs;
    if (atMs > receivedMs + FUTURE_TOLERANCE_MS) return { kind: 'ahead' };
    return { kind: offsetMs === 0 ? 'kept' : 'shifted', atMs };
  }

  view(): SensorClock {
    if (this.isJumping) return { kind: 'jumping', behindMs: null };
    const behindMs = this.isAhead ? this.run.leastMs : this.envelope.leastMs;
    if (this.isAhead || this.newestPiece().offsetMs !== 0) return { kind: 'off', behindMs };
    return { kind: 'good', behindMs: isRight(behindMs) ? behindMs : null };
  }

  private joinRun(behindMs: number, receivedMs: number): boolean {
    const { run } = this;
    const leastMs = Math.min(run.leastMs, behindMs);
    const mostMs = Math.max(run.mostMs, behindMs);
    const agrees = mostMs - leastMs < ALIKE_WITHIN_MS && run.count < 50;
    if (agrees) {
      run.leastMs = leastMs;
      run.mostMs = mostMs;
      run.count += 1;
      if (run.count === 1) run.fromReceivedMs = receivedMs;
    } else {
      this.run = { leastMs: behindMs, mostMs: behindMs, count: 1, fromReceivedMs: receivedMs };
    }
    return agrees;
  }

  private learn(behindMs: number, deviceMs: number, receivedMs: number): void {
    const { run } = this;
    const { offsetMs } = this.newestPiece();
    const leftMs = behindMs - offsetMs;
    // a message is never early, so both are proof: that the offset is less, and that the clock is right
    const isLess = leftMs < -MOVES_BEYOND_MS || (offsetMs > 0 && isRight(behindMs));
    if (isLess && leftMs >= -FUTURE_TOLERANCE_MS) {
      this.move(behindMs, deviceMs);
      return;
    }
    if (run.count < STABLE_SAMPLES || receivedMs - run.fromReceivedMs < STABLE_AFTER_MS) return;
    const movedMs = run.leastMs - offsetMs;
    const { leastMs } = this.envelope;
    const nobodyWasCloser = leastMs - offsetMs > MOVES_BEYOND_MS;
    if (movedMs < -MOVES_BEYOND_MS || (movedMs > MOVES_BEYOND_MS && nobodyWasCloser))
      this.move(isRight(leastMs) ? leastMs : run.leastMs, deviceMs);
  }

  private move(behindMs: number, deviceMs: number): void {
    const offsetMs = isRight(behindMs) ? 0 : wholeSeconds(behindMs);
    if (offsetMs === this.newestPiece().offsetMs) return;
    const [first, ...others] = this.pieces;
    const kept = others.filter(({ fromDeviceMs }) => fromDeviceMs < deviceMs);
    this.pieces = [first, ...kept.slice(-PIECES_KEPT), { fromDeviceMs: deviceMs, offsetMs }];
    this.envelope.startAt(behindMs);
  }

  private newestPiece(): Piece {
    return this.pieces.at(-1) ?? this.pieces[0];
  }

  private offsetAt(deviceMs: number): number {
    const { pieces } = this;
    for (let i = pieces.length - 1; i > 0; i -= 1) {
      const piece = pieces[i];
      if (piece && piece.fromDeviceMs <= deviceMs) return piece.offsetMs;
    }
    return pieces[0].offsetMs;
  }
}

function isRight(behindMs: number): boolean {
  return behindMs <= RIGHT_BEHIND_MS && behindMs >= -RIGHT_AHEAD_MS;
}
