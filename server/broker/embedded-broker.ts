import { createServer, type AddressInfo, type Server, type Socket } from 'node:net';
import { timingSafeEqual, createHash } from 'node:crypto';
import { Aedes, type Client, type PublishPacket } from 'aedes';
import type { Log } from '../ports.ts';
import { ClientBook, type SlowedClient } from './client-book.ts';
import { GuardedConnection } from './guarded-connection.ts';
import { BROKER_LIMITS, type BrokerLimits } from './limits.ts';

export type BrokerPacket = {
  topic: string;
  payload: Uint8Array;
  qos: number;
  packetId: number | null;
  isRepeat: boolean;
  sender: string;
};
/** A packet that was too large to be read. `topic`: as far as it is known. */
export type RefusedPacket = { client: string; bytes: number; topic: string | null };
export type EmbeddedBrokerOptions = {
  bind: string;
  port: number;
  user: string | null;
  password: string | null;
  /** Must call back only when the message is on disk: the broker acknowledges after that. */
  take: (packet: BrokerPacket, done: (error: Error | null) => void) => void;
  /** Told at most once a minute of one client. */
  onRefused?: (refused: RefusedPacket) => void;
  log: Log;
  limits?: Partial<BrokerLimits>;
};
export type BrokerNews = {
  clients: number;
  /** Connections that were turned away because there were too many. */
  turnedAway: number;
  slowed: SlowedClient[];
  slowedEver: SlowedClient[];
  /** Client ids that two devices use at once. */
  shared: string[];
};

/** Retained summary of the alarms, for any lamp or horn. */
const ALARM_TOPIC = 'tongside/alarm';
/** A device that went without a word is found out within minutes, so that it does not hold a place for ever, ms. OURS. */
const PROBE_AFTER_MS = 60_000;
/** Half-open QoS 2 messages that are kept for one client; each may be as large as a packet. OURS. */
const HALF_OPEN = 20;

/** An MQTT 3.1.1 broker inside the server, so that no other program is needed. */
export class EmbeddedBroker {
  private readonly o: EmbeddedBrokerOptions;
  private readonly limits: BrokerLimits;
  private readonly book = new ClientBook();
  private readonly connected = new Set<string>();
  private readonly retained = new Set<string>();
  private readonly subscriptions = new WeakMap<Client, Set<string>>();
  private readonly sockets = new Set<Socket>();
  private broker: Aedes | null = null;
  private server: Server | null = null;
  private turnedAway = 0;

  constructor(options: EmbeddedBrokerOptions) {
    this.o = options;
    this.limits = { ...BROKER_LIMITS, ...options.limits };
  }

  get isListening(): boolean {
    return this.server?.listening ?? false;
  }

  news(): BrokerNews {
    const now = performance.now();
    return {
      clients: this.broker?.connectedClients ?? 0,
      turnedAway: this.turnedAway,
      slowed: this.book.slowedNow(now),
      slowedEver: this.book.slowedEver(),
      shared: this.book.shared(now),
    };
  }

  /** Resolves with the port it listens on. */
  async start(): Promise<number> {
    const broker = await Aedes.createBroker({
      connectTimeout: this.limits.connectWithinMs,
      drainTimeout: this.limits.drainWithinMs,
      maxTopicLevels: this.limits.topicLevels,
      maxInflightInbound: HALF_OPEN,
    });
    this.broker = broker;
    this.guard(broker);
    const server = createServer((socket) => this.accept(broker, socket));
    server.maxConnections = this.limits.clients;
    server.on('drop', () => {
      this.turnedAway += 1;
      this.o.log.warn({ clients: this.limits.clients }, 'too many MQTT connections; one was turned away');
    });
    this.server = server;
    await new Promise<void>((resolve, reject) => {
      const refused = (error: Error): void => {
        broker.close();
        reject(error);
      };
      server.once('error', refused);
      server.listen(this.o.port, this.o.bind, () => {
        server.off('error', refused);
        resolve();
      });
    });
    // such as too many open files: those who are connected stay, and the next may come in again
    server.on('error', (err) => this.o.log.error({ err }, 'the MQTT server could not take a connection'));
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

  private accept(broker: Aedes, socket: Socket): void {
    this.sockets.add(socket);
    socket.once('close', () => this.sockets.delete(socket));
    socket.setNoDelay(true);
    socket.setKeepAlive(true, PROBE_AFTER_MS);
    const connection = new GuardedConnection(socket, {
      limits: this.limits,
      onSlowed: (waitMs) => this.book.slowed(nameOf(client), waitMs, performance.now()),
      onTooLarge: (packet) => this.tooLarge(nameOf(client), packet),
    });
    const client = broker.handle(connection);
  }

  private tooLarge(client: string, { bytes, topic }: Omit<RefusedPacket, 'client'>): void {
    if (this.book.refused(client, performance.now())) this.o.onRefused?.({ client, bytes, topic });
  }

  private guard(broker: Aedes): void {
    broker.preConnect = (_client, packet, done) => {
      // what is kept for a client that is away has no bound in memory: every session ends with its connection
      packet.clean = true;
      const isTooLong = packet.clientId.length > this.limits.clientIdLength;
      done(isTooLong ? new Error('the client id is too long') : null, !isTooLong);
    };
    broker.authenticate = (client, user, password, done) => {
      const isKnown = this.isKnown(user, password);
      if (isKnown && this.connected.has(client.id)) this.book.takenOver(client.id, performance.now());
      done(null, isKnown);
    };
    broker.authorizePublish = (client, packet, done) => {
      const refused = this.refusesTopic(packet.topic);
      if (refused !== null) done(new Error(refused));
      else {
        this.boundRetained(packet);
        this.o.take(toPacket(client, packet), (error) => done(error));
      }
    };
    broker.authorizeSubscribe = (client, subscription, done) => {
      const filters = this.subscriptions.get(client) ?? new Set<string>();
      this.subscriptions.set(client, filters);
      const mayHave = filters.has(subscription.topic) || filters.size < this.limits.subscriptions;
      if (mayHave) filters.add(subscription.topic);
      // null: that filter is refused in the SUBACK and the connection goes on
      done(null, mayHave ? subscription : null);
    };
    broker.on('unsubscribe', (filters, client) => {
      for (const filter of filters) this.subscriptions.get(client)?.delete(filter);
    });
    broker.on('client', (client) => this.connected.add(client.id));
    broker.on('clientDisconnect', (client) => this.connected.delete(client.id));
    broker.on('clientError', (client, err) =>
      this.o.log.warn({ client: client.id, err: err.message }, 'MQTT client'),
    );
    broker.on('connectionError', (client, err) =>
      this.o.log.warn({ client: nameOf(client), err: err.message }, 'MQTT connection'),
    );
  }

  private refusesTopic(topic: string): string | null {
    if (this.broker === null) return 'the server is stopping';
    if (topic === ALARM_TOPIC) return 'only Tongside publishes its alarms';
    return topic.startsWith('$') ? 'topics that begin with $ are the broker’s own' : null;
  }

  /** Beyond the bound a message is passed on to those who listen now, and not kept for later ones. */
  private boundRetained(packet: PublishPacket): void {
    if (!packet.retain) return;
    if (packet.payload.length === 0) this.retained.delete(packet.topic);
    else if (this.retained.has(packet.topic) || this.retained.size < this.limits.retained) {
      this.retained.add(packet.topic);
    } else packet.retain = false;
  }

  private isKnown(user: string | undefined, password: Buffer | undefined): boolean {
    if (this.o.user === null || this.o.password === null) return true;
    return sameText(user ?? '', this.o.user) && sameText(password?.toString('utf8') ?? '', this.o.password);
  }
}

/** A client has an id only once it has said it. */
function nameOf(client: { id: unknown }): string {
  return typeof client.id === 'string' ? client.id : 'not yet named';
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
