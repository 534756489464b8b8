import { createServer, type AddressInfo, type Server } from 'node:net';
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

/** An MQTT 3.1.1 broker inside the server, so that no other program is needed. */
export class EmbeddedBroker {
  private readonly o: EmbeddedBrokerOptions;
  private broker: Aedes | null = null;
  private server: Server | null = null;

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
    broker.authorizePublish = (client, packet, done) =>
      this.o.take(toPacket(client, packet), (error) => done(error));
    broker.on('clientError', (client, err) =>
      this.o.log.warn({ client: client.id, err: err.message }, 'MQTT client'),
    );
    broker.on('connectionError', (client, err) =>
      this.o.log.warn({ client: client.id, err: err.message }, 'MQTT connection'),
    );
    const server = createServer(broker.handle);
    this.server = server;
    await new Promise<void>((resolve, reject) => {
      server.once('error', reject);
      server.listen(this.o.port, this.o.bind, () => {
        server.off('error', reject);
        resolve();
      });
    });
    return portOf(server);
  }

  /** A retained message from Tongside itself, for any lamp or horn that listens. */
  publishRetained(topic: string, payload: string): void {
    const packet = { cmd: 'publish' as const, topic, payload, qos: 1 as const, retain: true, dup: false };
    this.broker?.publish(packet, (err) => {
      if (err) this.o.log.warn({ err, topic }, 'could not publish');
    });
  }

  async stop(): Promise<void> {
    const { broker, server } = this;
    this.broker = null;
    this.server = null;
    if (broker) await new Promise<void>((resolve) => broker.close(() => resolve()));
    if (server?.listening) await new Promise<void>((resolve) => server.close(() => resolve()));
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
