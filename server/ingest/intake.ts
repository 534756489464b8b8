import type { Intake } from '../ports.ts';
import { digestOf } from './digest.ts';
import { rejectOf, type Decoded, type Message } from './message.ts';

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

/** OURS: a device's time that is no further from its arrival than this is kept as it is, ms; so does the gate (device-clock.ts). */
const RIGHT_WITHIN_MS = 2_000;

/** A packet to what is stored of it, with the mark by which its redelivery is known when its time does not tell. */
export function toIntake(
  packet: Packet,
  receivedMs: number,
  understand: (message: Message) => Decoded,
): Intake {
  const decoded = read(packet, receivedMs, understand);
  const { readings, sides, unplugged, rejects } = decoded;
  const { sender, packetId, isRepeat } = packet;
  // a repeat too: a clock that was ahead may look right by the time the message comes again
  if (packetId === null || !(isRepeat || needsMark(decoded)))
    return { readings, sides, unplugged, rejects, delivery: null };
  const digest = digestOf(packet.topic, packet.payload);
  return { readings, sides, unplugged, rejects, delivery: { sender, packetId, digest, isRepeat } };
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
function needsMark({ readings, sides }: Decoded): boolean {
  for (const { timeSource, atMs, receivedMs } of readings)
    if (timeSource !== 'device' || !(Math.abs(receivedMs - atMs) <= RIGHT_WITHIN_MS)) return true;
  for (const { atMs, receivedMs } of sides) if (atMs === receivedMs) return true;
  return false;
}
