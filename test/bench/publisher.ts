import { once } from 'node:events';
import { connect, type Socket } from 'node:net';
import { answerQuestions } from './child.ts';
import { PublisherQuestion, type Published } from './messages.ts';
import { monoMs } from './mono.ts';
import { SENSORS, sensorName, valueAt } from './readings.ts';
import { AckReader, connectPacket, publishPacket } from './wire.ts';

const KEEP_ALIVE_S = 600;
const LAST_PACKET_ID = 65_535;
const PACE_TICK_MS = 10;
const QUIET_MS = 60_000;
const MS_PER_S = 1_000;

/**
 * One probe on a connection of its own: every second one sends bare numbers, the others JSON with a time of their own.
 * The times of a probe never repeat: in a flood, where one probe would send several a millisecond, they run ahead.
 */
class Probe {
  private readonly index: number;
  private readonly topic: Buffer;
  private readonly socket: Socket;
  private readonly acks = new AckReader();
  private readonly pending = new Uint8Array(LAST_PACKET_ID + 1);
  private packetId = 0;
  private lastTimeMs = 0;
  inFlight = 0;
  onAcks: (count: number) => void = () => undefined;

  private constructor(index: number, socket: Socket) {
    this.index = index;
    this.topic = Buffer.from(`tongside/reading/${sensorName(index)}`);
    this.socket = socket;
  }

  static async open(index: number, port: number): Promise<Probe> {
    const socket = connect(port, '127.0.0.1').setNoDelay(true);
    await once(socket, 'connect');
    const probe = new Probe(index, socket);
    socket.write(connectPacket(sensorName(index), KEEP_ALIVE_S));
    const [answer] = (await once(socket, 'data')) as unknown[];
    if (!Buffer.isBuffer(answer) || probe.acks.read(answer)[0] !== 0) throw new Error('not let in');
    socket.on('data', (chunk: Buffer) => probe.hear(chunk));
    socket.on('close', () => {
      if (probe.inFlight === 0) return; // the measurement is over
      throw new Error(`the broker closed the connection of ${sensorName(index)}`);
    });
    return probe;
  }

  private hear(chunk: Buffer): void {
    const ids = this.acks.read(chunk);
    for (const id of ids) {
      if (this.pending[id] !== 1) throw new Error(`packet ${id} was acknowledged and never sent`);
      this.pending[id] = 0;
    }
    this.inFlight -= ids.length;
    this.onAcks(ids.length);
  }

  /** Sends `count` messages in one write. */
  send(count: number, isTimed = this.index % 2 === 1): void {
    const packets: Buffer[] = [];
    const nowMs = Date.now();
    for (let i = 0; i < count; i += 1) packets.push(this.packet(isTimed ? nowMs : null, nowMs));
    this.write(packets);
  }

  /** Sends one reading for each second of a time that has passed. */
  sendPast(fromMs: number, toMs: number): void {
    const packets: Buffer[] = [];
    for (let atMs = fromMs; atMs <= toMs; atMs += MS_PER_S) packets.push(this.packet(atMs, atMs));
    this.write(packets);
  }

  private write(packets: readonly Buffer[]): void {
    this.inFlight += packets.length;
    this.socket.write(packets.length === 1 ? packets[0]! : Buffer.concat(packets));
  }

  private packet(timeMs: number | null, valueMs: number): Buffer {
    this.packetId = this.packetId === LAST_PACKET_ID ? 1 : this.packetId + 1;
    if (this.pending[this.packetId] === 1) throw new Error('more than 65,535 messages in flight');
    this.pending[this.packetId] = 1;
    const value = valueAt(this.index, valueMs / MS_PER_S);
    if (timeMs === null) return publishPacket(this.topic, this.packetId, value);
    this.lastTimeMs = Math.max(this.lastTimeMs + 1, timeMs);
    return publishPacket(
      this.topic,
      this.packetId,
      `{"value":${value},"unit":"Cel","time":${this.lastTimeMs}}`,
    );
  }
}

let probes: Probe[] = [];
let windowSize = 1;

/** Waits until every message is acknowledged. */
async function settled(total: () => number, start: () => void): Promise<Published> {
  let acked = 0;
  let lastAckMs = Number.NaN;
  const firstMs = monoMs();
  let heardAtMs = firstMs;
  for (const probe of probes) {
    const before = probe.onAcks;
    probe.onAcks = (count) => {
      acked += count;
      lastAckMs = heardAtMs = monoMs();
      before(count);
    };
  }
  start();
  while (acked < total()) {
    await new Promise((resolve) => setTimeout(resolve, 5));
    if (monoMs() - heardAtMs > QUIET_MS) break;
  }
  for (const probe of probes) probe.onAcks = () => undefined;
  return { sent: total(), acked, firstMs, lastAckMs };
}

async function flood(messages: number): Promise<Published> {
  let left = messages;
  const fill = (probe: Probe): void => {
    const free = Math.min(windowSize - probe.inFlight, left);
    // half a window at a time: single packets would be a test of the publisher
    if (free <= 0 || (free < windowSize / 2 && free < left)) return;
    left -= free;
    probe.send(free);
  };
  for (const probe of probes) probe.onAcks = () => fill(probe);
  return settled(
    () => messages,
    () => probes.forEach(fill),
  );
}

async function pace(
  perS: number,
  forMs: number,
  { sensors, allTimed }: { sensors: number; allTimed: boolean },
): Promise<Published> {
  let sent = 0;
  let isOver = false;
  const startMs = monoMs();
  const step = (): void => {
    const goneMs = Math.min(monoMs() - startMs, forMs);
    for (const due = Math.floor((goneMs * perS) / MS_PER_S); sent < due; sent += 1)
      probes[sent % sensors]?.send(1, allTimed ? true : undefined);
    if (goneMs < forMs) setTimeout(step, PACE_TICK_MS);
    else isOver = true;
  };
  return settled(() => (isOver ? sent : Infinity), step);
}

async function history(seconds: number, sensors: number): Promise<Published> {
  const toMs = Date.now() - MS_PER_S;
  const fromMs = toMs - (seconds - 1) * MS_PER_S;
  return settled(
    () => seconds * sensors,
    () => probes.slice(0, sensors).forEach((probe) => probe.sendPast(fromMs, toMs)),
  );
}

answerQuestions(async (message) => {
  const question = PublisherQuestion.parse(message);
  switch (question.do) {
    case 'connect':
      windowSize = question.window;
      probes = await Promise.all(Array.from({ length: SENSORS }, (_, i) => Probe.open(i, question.port)));
      return null;
    case 'flood':
      return flood(question.messages);
    case 'pace':
      return pace(question.perS, question.forMs, question);
    case 'history':
      return history(question.seconds, question.sensors);
  }
});
