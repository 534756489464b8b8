import { createHash } from 'node:crypto';
import type { Intake } from '../ports.ts';
import { rejectOf, type Decoded, type Message } from './message.ts';
import { OffClocks } from './off-clocks.ts';

export type Packet = {
  topic: string;
  payload: Uint8Array;
  qos: number;
  retained: boolean;
  /** As the protocol gives it; null for QoS 0. */
  packetId: number | null;
  isRepeat: boolean;
  /** The client id of the device, or `broker` for what an external broker passes on. */
  sender: string;
  /** Of MQTT 5. */
  userProperties?: Readonly<Record<string, string | string[]>>;
};

/** Longer topics are nobody's sensor. OURS: twice the 128 characters that a sensor name may have. */
const MAX_TOPIC = 256;

/**
 * A packet to what is stored of it, with the mark by which its redelivery is known when its time does not tell.
 *
 * @param clocks  of all that came before; a packet that nothing came before needs none
 */
export function toIntake(
  packet: Packet,
  receivedMs: number,
  understand: (message: Message) => Decoded,
  clocks = new OffClocks(),
): Intake {
  const decoded = read(packet, receivedMs, understand);
  const { sender, packetId, isRepeat } = packet;
  // asked first: it also takes note of the clocks
  const isMarked = needsMark(decoded, clocks) || isRepeat;
  if (packetId === null || !isMarked) return { ...decoded, delivery: null };
  const digest = createHash('sha1').update(packet.topic).update('\0').update(packet.payload).digest('base64');
  return { ...decoded, delivery: { sender, packetId, digest, isRepeat } };
}

function read(
  { topic, payload, retained, userProperties }: Packet,
  receivedMs: number,
  understand: (message: Message) => Decoded,
): Decoded {
  const about = { topic, payload, receivedMs, retained };
  const message: Message = userProperties === undefined ? about : { ...about, userProperties };
  if (topic.length > MAX_TOPIC) {
    const detail = `the topic has ${topic.length} characters, at most ${MAX_TOPIC} are taken`;
    return nothingBut(rejectOf({ reason: 'bad-name', detail }, message));
  }
  try {
    return understand(message);
  } catch (error: unknown) {
    // a fault of ours in one payload: it is kept to look at and acknowledged, or it would come back for ever
    const detail = `could not be read: ${error instanceof Error ? error.message : String(error)}`;
    return nothingBut(rejectOf({ reason: 'no-value', detail }, message));
  }
}

function nothingBut(reject: Decoded['rejects'][number]): Decoded {
  return { readings: [], sides: [], unplugged: [], rejects: [reject] };
}

/** Whatever is dated by its arrival, or is moved because of it, gets another date when it arrives again. */
function needsMark({ readings, sides }: Decoded, clocks: OffClocks): boolean {
  const mayMove = readings.filter((r) => r.timeSource !== 'device' || clocks.mayMove(r));
  return mayMove.length > 0 || sides.some((s) => s.atMs === s.receivedMs);
}
