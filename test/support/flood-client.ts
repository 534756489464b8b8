import { connect, type Socket } from 'node:net';
import { connectBytes, publishQos1Bytes } from './mqtt-packets.ts';

/** Unacknowledged messages that one client keeps on the way. */
const WINDOW = 500;
const RECONNECT_MS = 40;
const LAST_PACKET_ID = 65_535;
/** Every packet that such a client gets is four bytes: CONNACK and PUBACK (MQTT 3.1.1, 3.2 and 3.4). */
const ANSWER_BYTES = 4;
const CONNACK = 0x20;
const PUBACK = 0x40;
const DUP = 0x08;

/** Lowest and highest reading that is taken, in hundredths of a degree: the values run from one to the other. */
const FIRST_CENTI = -5_900;
const LAST_CENTI = 119_900;

/** The value of the n-th message of a sensor, in hundredths of a degree: no two are the same. */
export function floodCenti(n: number): number {
  const centi = FIRST_CENTI + n;
  if (centi > LAST_CENTI) throw new RangeError(`the flood has run out of values at message ${n}`);
  return centi;
}

type OnItsWay = { bytes: Buffer; acknowledged: () => void };
type Offered = { topic: string; payload: string; acknowledged: () => void };

/**
 * The publishing half of MQTT 3.1.1 at QoS 1, written out so that its behaviour is known exactly: what was not
 * acknowledged is sent again after a reconnect, in order, with its packet id and DUP set (MQTT-4.4.0-1).
 */
export class FloodClient {
  private readonly port: number;
  private readonly clientId: string;
  private socket: Socket | null = null;
  private isReady = false;
  private isEnded = false;
  private nextId = 0;
  private readonly onTheWay = new Map<number, OnItsWay>();
  /** A queue whose front is never moved: a shift of a long array copies it. */
  private waiting: Offered[] = [];
  private front = 0;
  private rest: Buffer = Buffer.alloc(0);
  resent = 0;
  ackedMono = -Infinity;

  constructor(port: number, clientId: string) {
    this.port = port;
    this.clientId = clientId;
    this.open();
  }

  get inFlight(): number {
    return this.onTheWay.size;
  }
  offer(topic: string, payload: string, acknowledged: () => void): void {
    this.waiting.push({ topic, payload, acknowledged });
  }
  /** Sends what may be sent now, in one write. */
  pump(): void {
    if (!this.isReady || !this.socket) return;
    const out: Buffer[] = [];
    while (this.onTheWay.size < WINDOW) {
      const next = this.waiting[this.front];
      if (!next) break;
      this.front += 1;
      const id = this.freeId();
      const bytes = publishQos1Bytes(next.topic, next.payload, id);
      this.onTheWay.set(id, { bytes, acknowledged: next.acknowledged });
      out.push(bytes);
    }
    if (this.front === this.waiting.length) {
      this.waiting = [];
      this.front = 0;
    }
    if (out.length > 0) this.socket.write(Buffer.concat(out));
  }
  end(): void {
    this.isEnded = true;
    this.socket?.destroy();
  }

  private open(): void {
    const socket = connect(this.port, '127.0.0.1');
    this.socket = socket;
    this.rest = Buffer.alloc(0);
    socket.setNoDelay(true);
    socket.on('connect', () => socket.write(connectBytes(this.clientId, 'kept')));
    socket.on('data', (chunk) => this.read(chunk));
    socket.on('error', () => undefined); // the server is being killed: 'close' follows
    socket.on('close', () => {
      this.isReady = false;
      if (!this.isEnded) setTimeout(() => this.open(), RECONNECT_MS);
    });
  }

  private read(chunk: Buffer): void {
    const bytes = this.rest.length === 0 ? chunk : Buffer.concat([this.rest, chunk]);
    let at = 0;
    for (; at + ANSWER_BYTES <= bytes.length; at += ANSWER_BYTES) this.answer(bytes, at);
    this.rest = bytes.subarray(at);
    this.pump();
  }

  private answer(bytes: Buffer, at: number): void {
    switch (bytes[at]) {
      case CONNACK: {
        if (bytes[at + 3] !== 0) throw new Error(`the broker refused the flood: ${bytes[at + 3]}`);
        this.isReady = true;
        for (const { bytes: again } of this.onTheWay.values()) {
          again[0] = (again[0] ?? 0) | DUP;
          this.socket?.write(again);
          this.resent += 1;
        }
        return;
      }
      case PUBACK: {
        const id = bytes.readUInt16BE(at + 2);
        this.onTheWay.get(id)?.acknowledged();
        this.onTheWay.delete(id);
        this.ackedMono = performance.now();
        return;
      }
      default:
        throw new Error(`the flood cannot read packet type ${bytes[at]}`);
    }
  }

  private freeId(): number {
    do this.nextId = (this.nextId % LAST_PACKET_ID) + 1;
    while (this.onTheWay.has(this.nextId));
    return this.nextId;
  }
}
