const PUBLISH = 3;
const TYPE_SHIFT = 4;
const MORE = 0x80;
const DIGIT = 0x7f;
/** A remaining length has at most four bytes: MQTT 3.1.1, 2.2.3. */
const LENGTH_BYTES = 4;

/** `publishes`: how many PUBLISH packets began in the bytes. */
export type Passed =
  { ok: true; publishes: number } | { ok: false; why: 'packet-too-large' | 'malformed-length' };

/**
 * Follows the fixed headers of an MQTT stream (MQTT 3.1.1, 2.2), however it is cut into pieces, so that a packet that
 * claims too much is known by its header, before any of it is kept.
 */
export class FrameGuard {
  private readonly maxBytes: number;
  /** Of the packet's body that has not come yet. */
  private bodyLeft = 0;
  /** Bytes of the length that have come; null between packets. */
  private lengthBytes: number | null = null;
  private length = 0;

  /** @param maxBytes  of a whole packet, fixed header included */
  constructor(maxBytes: number) {
    this.maxBytes = maxBytes;
  }

  feed(chunk: Uint8Array): Passed {
    let publishes = 0;
    for (let at = 0; at < chunk.length;) {
      if (this.bodyLeft > 0) {
        const step = Math.min(this.bodyLeft, chunk.length - at);
        this.bodyLeft -= step;
        at += step;
        continue;
      }
      const byte = chunk[at] ?? 0;
      at += 1;
      if (this.lengthBytes === null) {
        this.lengthBytes = 0;
        this.length = 0;
        if (byte >> TYPE_SHIFT === PUBLISH) publishes += 1;
        continue;
      }
      this.length += (byte & DIGIT) * MORE ** this.lengthBytes;
      this.lengthBytes += 1;
      if ((byte & MORE) !== 0) {
        if (this.lengthBytes >= LENGTH_BYTES) return { ok: false, why: 'malformed-length' };
        continue;
      }
      if (1 + this.lengthBytes + this.length > this.maxBytes) return { ok: false, why: 'packet-too-large' };
      this.bodyLeft = this.length;
      this.lengthBytes = null;
    }
    return { ok: true, publishes };
  }
}
