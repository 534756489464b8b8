import type { FoundTopic } from '../contract/probe.ts';
import type { Reject } from '../contract/reading.ts';
import { isSenmlTopic } from './decode.ts';
import type { Decoded, Message } from './message.ts';

/** OURS: more topics than this nobody reads through; the one that was quiet longest goes. */
const MOST_TOPICS = 200;
/** OURS: enough of a payload to take it apart and make a rule of it; a stored reject keeps less. */
const KEPT_BYTES = 2_048;
/** What a stored reject keeps of a topic and of a payload. */
const KEPT_TOPIC = 200;
const STORED_BYTES = 200;
/** OURS: of a topic that nobody understands one message a minute is stored, and so many of all such topics. */
const STORE_EVERY_MS = 60_000;
const MOST_STORED = 200;
/** OURS: a device that sends what nobody understands does it again within an hour. */
const SETTLED_MS = 3_600_000;
/** OURS: what was heard at an earlier cookout is of no use. */
const SEEDED_MS = 86_400_000;

type Entry = {
  count: number;
  lastMs: number;
  reason: string;
  detail: string;
  payload: Uint8Array;
  bytes: number;
  /** Whether the payload may have gone on. */
  isCut: boolean;
  /** When a reject of it was last stored. */
  storedMs: number;
};
type Why = { reason: string; detail: string };

const NOT_OURS: Why = { reason: 'unknown-topic', detail: 'no rule for this topic' };
const CONTROL = /(?![\t\n\r])\p{Cc}/u;

/** Topics on which something was heard that nobody understood; in memory, and bounded whatever is published. */
export class Found {
  /** In the order in which they were last heard. */
  private readonly topics = new Map<string, Entry>();
  private readonly isKnown: (topic: string) => boolean;
  private storedSinceMs = -Infinity;
  private stored = 0;

  /** @param isKnown  whether a rule or a built-in filter matches a topic */
  constructor(isKnown: (topic: string) => boolean) {
    this.isKnown = isKnown;
  }

  /** A message from a subscription to everything: counted when no rule and no built-in filter matches its topic. */
  heard(message: Message): void {
    if (message.payload.length > 0 && !this.isKnown(message.topic)) this.remember(message, NOT_OURS);
  }

  /**
   * What came of a message that was meant for us. One that gave nothing but rejects is remembered; one that gave something
   * takes its topic off the list. A topic that several devices may share goes only when nothing was refused there for long:
   * what one device sends well says nothing of the others.
   *
   * @returns the rejects to store: not every one of a topic that nobody understands
   */
  note(message: Message, { readings, sides, unplugged, rejects }: Decoded): Reject[] {
    const first = rejects[0];
    if (readings.length + sides.length + unplugged.length > 0) {
      if (this.topics.size > 0) this.settle(message);
      return rejects;
    }
    if (!first) return rejects;
    const entry = this.remember(message, first);
    return first.reason === 'unknown-topic' && !this.mayStore(entry, message.receivedMs) ? [] : rejects;
  }

  /** Rejects of before the server started, newest first. */
  seed(rejects: readonly Reject[], nowMs: number): void {
    for (const { topic, receivedMs, reason, detail, payload } of rejects.toReversed()) {
      const isSettled = reason === 'unknown-topic' && this.isKnown(topic);
      if (isSettled || nowMs - receivedMs > SEEDED_MS) continue;
      this.put(topic, {
        count: 0,
        lastMs: receivedMs,
        reason,
        detail,
        payload,
        bytes: payload.length,
        isCut: payload.length >= STORED_BYTES,
        storedMs: receivedMs,
      });
    }
  }

  /** The rules changed: topics that have one now are given the chance to be understood. */
  rulesChanged(): void {
    for (const [topic, { reason }] of this.topics) {
      if (reason === 'unknown-topic' && this.isKnown(topic)) this.topics.delete(topic);
    }
  }

  /** Whether it was there. It comes back when it is heard again. */
  forget(topic: string): boolean {
    return this.topics.delete(topic);
  }

  get size(): number {
    return this.topics.size;
  }

  /** The one that was heard last comes first. */
  list(): FoundTopic[] {
    return [...this.topics].toReversed().map(([topic, entry]) => {
      const { count, lastMs, reason, detail, payload, bytes } = entry;
      const payloadText = textOf(payload, entry.isCut);
      const payloadHex = payloadText === null ? Buffer.from(payload).toString('hex') : '';
      return { topic, count, lastMs, reason, detail, payloadText, payloadHex, bytes };
    });
  }

  private remember({ topic, payload, receivedMs }: Message, { reason, detail }: Why): Entry {
    const known = this.topics.get(keyOf(topic));
    const entry: Entry = {
      count: (known?.count ?? 0) + 1,
      lastMs: receivedMs,
      reason,
      detail,
      // a copy: a view would keep the whole packet in memory
      payload: Uint8Array.from(payload.subarray(0, KEPT_BYTES)),
      bytes: payload.length,
      isCut: payload.length > KEPT_BYTES,
      storedMs: known?.storedMs ?? -Infinity,
    };
    this.put(topic, entry);
    return entry;
  }

  private settle({ topic, receivedMs }: Message): void {
    const key = keyOf(topic);
    if (isSenmlTopic(topic) && receivedMs - (this.topics.get(key)?.lastMs ?? -Infinity) < SETTLED_MS) return;
    this.topics.delete(key);
  }

  private put(topic: string, entry: Entry): void {
    const key = keyOf(topic);
    this.topics.delete(key);
    this.topics.set(key, entry);
    if (this.topics.size <= MOST_TOPICS) return;
    for (const oldest of this.topics.keys()) {
      this.topics.delete(oldest);
      return;
    }
  }

  private mayStore(entry: Entry, nowMs: number): boolean {
    // a clock that was put back begins anew
    if (nowMs - entry.storedMs < STORE_EVERY_MS && nowMs >= entry.storedMs) return false;
    const isWithin = nowMs - this.storedSinceMs < STORE_EVERY_MS && nowMs >= this.storedSinceMs;
    if (isWithin && this.stored >= MOST_STORED) return false;
    if (!isWithin) {
      this.storedSinceMs = nowMs;
      this.stored = 0;
    }
    this.stored += 1;
    entry.storedMs = nowMs;
    return true;
  }
}

function keyOf(topic: string): string {
  return topic.slice(0, KEPT_TOPIC);
}

/** The payload as text, where it is one; a letter that the cut has halved is left out. */
function textOf(payload: Uint8Array, isCut: boolean): string | null {
  try {
    const text = new TextDecoder('utf-8', { fatal: true }).decode(payload, { stream: isCut });
    return CONTROL.test(text) ? null : text;
  } catch {
    return null; // bytes that are not UTF-8: binary, an expected kind of payload
  }
}
