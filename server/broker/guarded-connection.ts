import { Duplex } from 'node:stream';
import type { Socket } from 'node:net';
import { FrameGuard } from './frame-guard.ts';
import type { BrokerLimits } from './limits.ts';
import { Pace } from './pace.ts';

/** As much as a socket reads at once, so that its chunks pass whole. */
const READ_BYTES = 65_536;

export type GuardedConnectionOptions = {
  limits: BrokerLimits;
  /** Read more slowly from now on for so many ms. */
  onSlowed: (waitMs: number) => void;
  /** A packet claimed to be too large; the connection ends. */
  onTooLarge: (packet: { bytes: number; topic: string | null }) => void;
};

/**
 * The connection of a client as the broker sees it: nothing passes that claims to be too large, and a client that sends
 * too much is read more slowly, so that its own network holds it back. Nothing is dropped.
 */
export class GuardedConnection extends Duplex {
  private readonly socket: Socket;
  private readonly o: GuardedConnectionOptions;
  private readonly guard: FrameGuard;
  private readonly pace: Pace;
  private isWanted = false;
  private held: NodeJS.Timeout | null = null;

  constructor(socket: Socket, options: GuardedConnectionOptions) {
    super({ readableHighWaterMark: READ_BYTES, allowHalfOpen: false });
    this.socket = socket;
    this.o = options;
    const { packetBytes, messagesPerS, burst } = options.limits;
    this.guard = new FrameGuard(packetBytes);
    this.pace = new Pace({ perS: messagesPerS, burst, nowMono: performance.now() });
    socket.pause();
    socket.on('data', (chunk: Buffer) => this.pass(chunk));
    socket.on('end', () => this.push(null));
    socket.on('error', (error) => this.destroy(error));
    socket.on('close', () => this.destroy());
  }

  override _read(): void {
    this.isWanted = true;
    this.goOn();
  }

  override _write(chunk: Buffer, _encoding: BufferEncoding, done: (error?: Error | null) => void): void {
    this.socket.write(chunk, done);
  }

  override _writev(chunks: { chunk: Buffer }[], done: (error?: Error | null) => void): void {
    this.socket.write(Buffer.concat(chunks.map(({ chunk }) => chunk)), done);
  }

  override _final(done: () => void): void {
    this.socket.end(done);
  }

  override _destroy(error: Error | null, done: (error: Error | null) => void): void {
    if (this.held) clearTimeout(this.held);
    this.held = null;
    this.socket.destroy();
    done(error);
  }

  private pass(chunk: Buffer): void {
    const passed = this.guard.feed(chunk);
    if (!passed.ok) {
      if (passed.why === 'packet-too-large') this.o.onTooLarge(passed);
      this.destroy(
        new Error(passed.why === 'packet-too-large' ? 'packet too large' : 'malformed packet length'),
      );
      return;
    }
    const waitMs = this.pace.spend(passed.publishes, performance.now());
    if (waitMs > 0) this.hold(waitMs);
    if (!this.push(chunk)) {
      this.isWanted = false;
      this.socket.pause();
    }
  }

  private hold(waitMs: number): void {
    this.socket.pause();
    this.o.onSlowed(waitMs);
    this.held ??= setTimeout(() => {
      this.held = null;
      this.goOn();
    }, waitMs);
  }

  private goOn(): void {
    if (this.isWanted && !this.held) this.socket.resume();
  }
}
