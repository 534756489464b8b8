import type { Decoded, Message } from './message.ts';
import { rejectOf } from './message.ts';

export type RefusedPacket = { client: string; bytes: number; topic: string | null };

const NO_TOPIC = '(topic not read)';

/**
 * A packet that the broker refused for its size before it was read, as a message and what came of it, so that a person
 * finds out why a device is cut off.
 *
 * @param mostBytes  that a packet may have
 */
export function refusedPacket(
  { client, bytes, topic }: RefusedPacket,
  { receivedMs, mostBytes }: { receivedMs: number; mostBytes: number },
): { message: Message; decoded: Decoded } {
  const detail = `${bytes} bytes from ${client}, at most ${mostBytes} are taken; its connection was ended`;
  const reject = rejectOf(
    { reason: 'too-large', detail },
    { topic: topic ?? NO_TOPIC, payload: new Uint8Array(), receivedMs, retained: false },
  );
  const message = { topic: reject.topic, payload: reject.payload, receivedMs, retained: false };
  return { message, decoded: { readings: [], sides: [], unplugged: [], rejects: [reject] } };
}
