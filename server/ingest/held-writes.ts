import type { Duplex } from 'node:stream';

type Written = (error: Error | null | undefined) => void;

const FIRST_BYTES = 4_096;

/**
 * Keeps back what is written to a stream and sends it in one piece. Node's own cork keeps an entry for each write, and a
 * group of acknowledgements is thousands of writes of a byte or two.
 */
export class HeldWrites {
  private readonly stream: Pick<Duplex, 'write' | 'destroyed' | 'writableNeedDrain'>;
  private readonly pass: Duplex['write'];
  private isHolding = false;
  private bytes = Buffer.allocUnsafe(FIRST_BYTES);
  private length = 0;
  private callbacks: Written[] = [];

  /** One for a stream, for as long as the stream lives. */
  constructor(stream: Pick<Duplex, 'write' | 'destroyed' | 'writableNeedDrain'>) {
    this.stream = stream;
    this.pass = stream.write.bind(stream);
    stream.write = (chunk: unknown, encoding?: BufferEncoding | Written, callback?: Written): boolean => {
      if (this.isHolding) return this.keep(chunk, encoding, callback);
      return typeof encoding === 'string' ? this.pass(chunk, encoding, callback) : this.pass(chunk, encoding);
    };
  }

  hold(): void {
    this.isHolding = true;
  }

  /** Sends what was kept; what is written from now on goes its own way. */
  release(): void {
    this.isHolding = false;
    const { bytes, length, callbacks } = this;
    if (length === 0 || this.stream.destroyed) return;
    this.bytes = Buffer.allocUnsafe(FIRST_BYTES); // the stream has the other until it is sent
    this.length = 0;
    this.callbacks = [];
    this.pass(bytes.subarray(0, length), (error) => {
      for (const callback of callbacks) callback(error);
    });
  }

  private keep(chunk: unknown, encoding?: BufferEncoding | Written, callback?: Written): boolean {
    const done = typeof encoding === 'function' ? encoding : callback;
    if (done) this.callbacks.push(done);
    if (typeof chunk === 'string')
      this.add(Buffer.from(chunk, typeof encoding === 'string' ? encoding : 'utf8'));
    else if (chunk instanceof Uint8Array) this.add(chunk);
    else throw new TypeError('only text and bytes can be kept back');
    return !this.stream.writableNeedDrain;
  }

  private add(chunk: Uint8Array): void {
    const length = this.length + chunk.length;
    if (length > this.bytes.length) {
      const wider = Buffer.allocUnsafe(Math.max(length, 2 * this.bytes.length));
      this.bytes.copy(wider, 0, 0, this.length);
      this.bytes = wider;
    }
    this.bytes.set(chunk, this.length);
    this.length = length;
  }
}
