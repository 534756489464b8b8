import { createServer, type AddressInfo, type Server, type Socket } from 'node:net';
import { timingSafeEqual, createHash } from 'node:crypto';
import { Aedes, type Client, type PublishPacket } from 'aedes';
import type { Log } from '../ports.ts';

export type BrokerPacket = {
  topic: string;
  payload: Uint8Array;
  qos: number;
  packetId: number | null;
  isRepeat: boolean;
  sender: string;
};
export type EmbeddedBrokerOptions = {
  bind: string;
  port: number;
  user: string | null;
  password: string | null;
  /** Must call back only when the message is on disk: the broker acknowledges after that. */
  take: (packet: BrokerPacket, done: (error: Error | null) => void) => void;
  log: Log;
};

/** Retained summary of the alarms, for any lamp or horn. */
const ALARM_TOPIC = 'tongside/alarm';

/** An MQTT 3.1.1 broker inside the server, so that no other program is needed. */
export class EmbeddedBroker {
  private readonly o: EmbeddedBrokerOptions;
  private broker: Aedes | null = null;
  private server: Server | null = null;
  private readonly sockets = new Set<Socket>();

  constructor(options: EmbeddedBrokerOptions) {
    this.o = options;
  }

  get isListening(): boolean {
    return this.server?.listening ?? false;
  }
  get clients(): number {
    return this.broker?.connectedClients ?? 0;
  }

  /** Resolves with the port it listens on. */
  async start(): Promise<number> {
    const broker = await Aedes.createBroker();
    this.broker = broker;
    broker.authenticate = (_client, user, password, done) => {
      done(null, this.isKnown(user, password));
    };
    broker.authorizePublish = (client, packet, done) => {
      if (packet.topic === ALARM_TOPIC) done(new Error('only Tongside publishes its alarms'));
      else this.o.take(toPacket(client, packet), (error) => done(error));
    };
    broker.on('clientError', (client, err) =>
      this.o.log.warn({ client: client.id, err: err.message }, 'MQTT client'),
    );
    broker.on('connectionError', (client, err) =>
      this.o.log.warn({ client: client.id, err: err.message }, 'MQTT connection'),
    );
    const server = createServer((socket) => {
      this.sockets.add(socket);
      socket.once('close', () => this.sockets.delete(socket));
      broker.handle(socket);
    });
    this.server = server;
    await new Promise<void>((resolve, reject) => {
      server.once('error', (error) => {
        broker.close();
        reject(error);
      });
      server.listen(this.o.port, this.o.bind, () => {
        resolve();
      });
    });
    return portOf(server);
  }

  publishAlarms(payload: string): void {
    const packet = {
      cmd: 'publish' as const,
      topic: ALARM_TOPIC,
      payload,
      qos: 1 as const,
      retain: true,
      dup: false,
    };
    this.broker?.publish(packet, (err) => {
      if (err) this.o.log.warn({ err }, 'could not publish the alarms');
    });
  }

  async stop(): Promise<void> {
    const { broker, server } = this;
    this.broker = null;
    this.server = null;
    const closed = server?.listening ? new Promise<void>((resolve) => server.close(() => resolve())) : null;
    if (broker) await new Promise<void>((resolve) => broker.close(() => resolve()));
    for (const socket of this.sockets) socket.destroy();
    await closed;
  }

  private isKnown(user: string | undefined, password: Buffer | undefined): boolean {
    if (this.o.user === null || this.o.password === null) return true;
    return sameText(user ?? '', this.o.user) && sameText(password?.toString('utf8') ?? '', this.o.password);
  }
}

function sameText(given: string, wanted: string): boolean {
  const digest = (text: string): Buffer => createHash('sha256').update(text).digest();
  return timingSafeEqual(digest(given), digest(wanted));
}

function toPacket(client: Client | null, packet: PublishPacket): BrokerPacket {
  return {
    topic: packet.topic,
    payload: typeof packet.payload === 'string' ? Buffer.from(packet.payload) : packet.payload,
    qos: packet.qos,
    packetId: packet.qos > 0 && packet.messageId !== undefined ? packet.messageId : null,
    isRepeat: packet.dup,
    sender: client?.id ?? 'tongside',
  };
}

function portOf(server: Server): number {
  const address: AddressInfo | string | null = server.address();
  if (address === null || typeof address === 'string') throw new Error('the embedded broker has no port');
  return address.port;
}
