const PUBLISH = 3;
const TYPE_SHIFT = 4;
const MORE = 0x80;
const DIGIT = 0x7f;
/** A remaining length has at most four bytes: MQTT 3.1.1, 2.2.3. */
const LENGTH_BYTES = 4;
/** The length of a topic, before it: MQTT 3.1.1, 1.5.3. */
const TOPIC_LENGTH_BYTES = 2;
/** OURS: more of a topic is not told. */
const TOPIC_SHOWN_BYTES = 256;

/**
 * `publishes`: how many PUBLISH packets began in the bytes. `bytes`: what the packet claims, fixed header included. `topic`:
 * as far as it came together with the header; null when it is no PUBLISH, or nothing of it came.
 */
export type Passed =
  | { ok: true; publishes: number }
  | { ok: false; why: 'packet-too-large'; bytes: number; topic: string | null }
  | { ok: false; why: 'malformed-length' };

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
  private isPublish = false;

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
        this.isPublish = byte >> TYPE_SHIFT === PUBLISH;
        if (this.isPublish) publishes += 1;
        continue;
      }
      this.length += (byte & DIGIT) * MORE ** this.lengthBytes;
      this.lengthBytes += 1;
      if ((byte & MORE) !== 0) {
        if (this.lengthBytes >= LENGTH_BYTES) return { ok: false, why: 'malformed-length' };
        continue;
      }
      const bytes = 1 + this.lengthBytes + this.length;
      if (bytes > this.maxBytes) {
        const topic = this.isPublish ? topicAt(chunk.subarray(at)) : null;
        return { ok: false, why: 'packet-too-large', bytes, topic };
      }
      this.bodyLeft = this.length;
      this.lengthBytes = null;
    }
    return { ok: true, publishes };
  }
}

/** The topic at the beginning of a PUBLISH without its fixed header. */
function topicAt(body: Uint8Array): string | null {
  if (body.length <= TOPIC_LENGTH_BYTES) return null;
  const length = (body[0] ?? 0) * 256 + (body[1] ?? 0);
  const topic = body.subarray(TOPIC_LENGTH_BYTES, TOPIC_LENGTH_BYTES + Math.min(length, TOPIC_SHOWN_BYTES));
  return topic.length === 0 ? null : new TextDecoder().decode(topic);
}
