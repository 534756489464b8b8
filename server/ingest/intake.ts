import { createHash } from 'node:crypto';
import type { Intake } from '../ports.ts';
import { decode, type Message } from './decode.ts';

export type Packet = {
  topic: string;
  payload: Uint8Array;
  qos: number;
  retained: boolean;
  /** Sender and packet id as the protocol gives them; null for QoS 0. */
  packetId: number | null;
  isRepeat: boolean;
  sender: string;
};

/** A packet to what is stored of it, with the mark by which its redelivery is known when it has no time of its own. */
export function toIntake(packet: Packet, receivedMs: number): Intake {
  const message: Message = {
    topic: packet.topic,
    payload: packet.payload,
    receivedMs,
    retained: packet.retained,
  };
  const { readings, rejects } = decode(message);
  const needsMark = packet.packetId !== null && readings.some((r) => r.timeSource === 'arrival');
  if (!needsMark || packet.packetId === null) return { readings, rejects, delivery: null };
  const digest = createHash('sha1').update(packet.topic).update('\0').update(packet.payload).digest('base64');
  return {
    readings,
    rejects,
    delivery: { sender: packet.sender, packetId: packet.packetId, digest, isRepeat: packet.isRepeat },
  };
}
