import { connect, type IClientOptions, type IPublishPacket, type MqttClient } from 'mqtt';
import type { Clock, Log, Outage } from '../ports.ts';
import { BrokerSession, type SessionMemory } from './broker-session.ts';
import type { Done } from './group-commit.ts';
import { HeldWrites } from './held-writes.ts';
import type { Packet } from './intake.ts';
import { topicMatches } from './mapping/topic-match.ts';
import type { Message } from './message.ts';
import { Reconnect } from './reconnect.ts';
import { withoutOverlaps } from './subscriptions.ts';
import { TopicListener } from './topic-listener.ts';

const SESSION_EXPIRY_S = 86_400;
const RECEIVE_MAXIMUM = 1_000;
/** A payload that is taken has at most 8 kB; the broker need not send what is far beyond it, and then does not. OURS. */
const MAX_PACKET_BYTES = 32_768;
const KEEPALIVE_S = 30;
const SENDER = 'broker';
/** Retained summary of the alarms, for any lamp or horn. */
const ALARM_TOPIC = 'tongside/alarm';
/** MQTT 5, 3.14.2.1: another client connected with our id. */
const SESSION_TAKEN_OVER = 0x8e;
/** MQTT 5, 3.9.3: from here on a SUBACK code says that the filter was refused. */
const FIRST_REFUSAL = 0x80;

export type MqttSourceOptions = {
  url: string;
  /** The same without what is secret in it. */
  shownUrl: string;
  user: string | null;
  password: string | null;
  clientId: string;
  /** Topic filters of what is taken as readings. */
  filters: readonly string[];
  /** Must call back only when the message is on disk, or cannot be; false: enough is waiting. */
  take: (packet: Packet, done: Done) => boolean;
  onOutage: (outage: Outage) => void;
  memory: SessionMemory;
  clock: Clock;
  log: Log;
  keepaliveS?: number;
};
type Stream = MqttClient['stream'];
type Callback = (error?: Error) => void;
/** Acknowledgements that wait for a commit. One object for all of them: a closure for each would keep its packet too. */
type Held = {
  stream: Stream;
  done: Done;
  /** Of a message after which no more may come until the commit. */
  waits: Callback[];
};

/**
 * Reads from an external broker. MQTT.js handles one QoS 1 packet at a time and acknowledges it when its callback is
 * called, so the callback is called at once but what is written to the broker is held until the group is on disk: the
 * acknowledgements leave only after the commit, and one commit serves many messages. They belong to their stream: when it
 * is gone they are gone too, and the broker sends again what they were for.
 */
export class MqttSource {
  private readonly o: MqttSourceOptions;
  private readonly client: MqttClient;
  private readonly session: BrokerSession;
  private readonly reconnect = new Reconnect();
  private listener: TopicListener | null = null;
  private filters: readonly string[];
  /** What was asked of the broker: wider than `filters` where those overlap. */
  private subscribed: readonly string[];
  /** What our session at the broker may have subscribed once it has read all that was sent to it. */
  private readonly mayHave = new Set<string>();
  private isWider = false;
  private held: Held | null = null;
  private writes: { stream: Stream; held: HeldWrites } | null = null;
  private connectedMono: number | null = null;
  private isSubscribed = false;
  private isStopping = false;
  private droppedForStore = false;
  private takenOver = false;
  private trouble: string | null = null;

  constructor(options: MqttSourceOptions) {
    this.o = options;
    this.filters = options.filters;
    this.subscribed = withoutOverlaps(options.filters);
    this.session = new BrokerSession({ ...options, url: options.shownUrl });
    this.client = connect(options.url, {
      ...this.connection(options.clientId),
      clean: false,
      manualConnect: true,
      reconnectOnConnackError: true,
      properties: {
        sessionExpiryInterval: SESSION_EXPIRY_S,
        receiveMaximum: RECEIVE_MAXIMUM,
        maximumPacketSize: MAX_PACKET_BYTES,
      },
    });
    this.notice(this.subscribed);
  }

  /** Whether readings come, and in words what there is to say of it. */
  status(): { isUp: boolean; detail: string; onlyCounted: number } {
    const isUp = this.client.connected && this.isSubscribed;
    const livedMs = this.connectedMono === null ? null : performance.now() - this.connectedMono;
    const parts = [isUp ? `connected to ${this.o.shownUrl}` : `no connection to ${this.o.shownUrl}`];
    if (this.trouble !== null) parts.push(this.trouble);
    if (this.reconnect.hasRival(livedMs)) {
      parts.push(
        `another program seems to use the client id ${this.o.clientId}: only one of them gets the readings`,
      );
    }
    return {
      isUp: isUp && !this.reconnect.hasRival(livedMs),
      detail: parts.join('; '),
      onlyCounted: this.listener?.onlyCounted ?? 0,
    };
  }

  start(): void {
    const { client } = this;
    const { log } = this.o;
    client.on('error', (err) => {
      this.trouble = err.message;
      log.warn({ err }, 'broker connection');
    });
    client.on('disconnect', ({ reasonCode }) => {
      this.takenOver = reasonCode === SESSION_TAKEN_OVER;
      this.trouble = `the broker ended the connection (reason ${reasonCode ?? 0})`;
    });
    // before the library's own listener, which reads how long to wait
    client.prependListener('close', () => this.closed());
    client.on('connect', (ack) => {
      log.info({ sessionPresent: ack.sessionPresent }, 'connected to the broker');
      this.session.connected({ sessionPresent: ack.sessionPresent, hadRival: this.reconnect.hasRival(null) });
      if (!ack.sessionPresent) this.mayHave.clear();
      for (const filter of this.session.filters) this.mayHave.add(filter);
      this.connectedMono = performance.now();
      this.trouble = null;
      this.subscribe();
    });
    // assigned before connecting: a message that arrives earlier would be acknowledged and lost
    client.handleMessage = (packet, callback) => this.handle(packet, callback);
    client.connect();
  }

  publishAlarms(payload: string): void {
    this.client.publish(ALARM_TOPIC, payload, { qos: 1, retain: true }, (err) => {
      if (err) this.o.log.warn({ err }, 'could not publish the alarms');
    });
  }

  /** Other filters from now on: what is new is subscribed before what is gone is given up, so that nothing is missed. */
  setFilters(filters: readonly string[]): void {
    this.filters = filters;
    this.subscribed = withoutOverlaps(filters);
    this.notice(this.subscribed);
    if (this.client.connected) this.subscribe();
  }

  /** Tells of messages on topics that no filter matches, retained ones too, until it is stopped. */
  listenFor(heard: (message: Message) => void): void {
    const { url, clock, log, clientId } = this.o;
    this.listener ??= new TopicListener({
      url,
      connection: {
        ...this.connection(`${clientId}-ear`),
        properties: { maximumPacketSize: MAX_PACKET_BYTES },
      },
      isOurs: (topic) => topic === ALARM_TOPIC || this.isWanted(topic),
      heard,
      clock,
      log,
    });
  }

  /**
   * To be called when what waits was stored or failed. What waits even then is not acknowledged: the stream that holds its
   * acknowledgements back is destroyed, for to end it would send them.
   */
  async stop(): Promise<void> {
    this.isStopping = true;
    await this.listener?.stop();
    this.session.stop();
    const { client } = this;
    const isCut = !client.connected || client.stream.destroyed || this.held?.stream === client.stream;
    await client.endAsync(isCut);
  }

  private connection(clientId: string): IClientOptions {
    const { user, password, keepaliveS } = this.o;
    return {
      protocolVersion: 5,
      clientId,
      keepalive: keepaliveS ?? KEEPALIVE_S,
      log: () => undefined, // its debug lines are made up for every packet, also when nobody reads them
      resubscribe: false,
      ...(user === null ? {} : { username: user }),
      ...(password === null ? {} : { password }),
    };
  }

  private notice(subscribed: readonly string[]): void {
    this.isWider = subscribed.some((filter) => !this.filters.includes(filter));
  }
  private isWanted(topic: string): boolean {
    return this.filters.some((filter) => topicMatches(filter, topic));
  }

  private subscribe(): void {
    const wanted = this.subscribed;
    for (const filter of wanted) this.mayHave.add(filter);
    // also when the session is still there: the server may have ended between its first connection and its subscription.
    // Retain Handling 1: retained messages only with a new subscription (MQTT 5, 3.8.3.1)
    this.client.subscribe([...wanted], { qos: 1, rh: 1 }, (err, granted = []) => {
      const refused = granted.filter(({ qos }) => qos >= FIRST_REFUSAL).map(({ topic }) => topic);
      this.isSubscribed = !err && refused.length === 0;
      if (this.isSubscribed) {
        this.giveUpOthers();
        return;
      }
      this.trouble =
        refused.length > 0 ? `the broker refused to send ${refused.join(' ')}` : (err?.message ?? '');
      this.o.log.error({ err, refused }, 'could not subscribe');
    });
  }

  /** By what is wanted now: it may be something else than what was asked for when this was granted. */
  private giveUpOthers(): void {
    this.session.subscribed([...this.mayHave]);
    const gone = [...this.mayHave].filter((filter) => !this.subscribed.includes(filter));
    if (gone.length === 0) return;
    for (const filter of gone) this.mayHave.delete(filter);
    this.client.unsubscribe(gone, (err) => {
      if (err) for (const filter of gone) this.mayHave.add(filter);
      else this.session.subscribed([...this.mayHave]);
    });
  }

  private handle(packet: IPublishPacket, callback: Callback): void {
    const { stream } = this.client;
    // the library would queue an acknowledgement that has no stream and send it on the next connection, for another message
    if (this.isStopping || !this.client.connected || stream.destroyed) {
      callback(new Error('the connection is gone'));
      return;
    }
    if (this.isWider && !this.isWanted(packet.topic)) {
      callback();
      return;
    }
    const isFirst = this.held?.stream !== stream;
    const held = this.hold(stream);
    let hasRoom: boolean;
    try {
      hasRoom = this.o.take(packetOf(packet), held.done);
    } catch (err: unknown) {
      this.o.log.error({ err, topic: packet.topic }, 'a message could not be handled; not acknowledged');
      if (isFirst) this.letGo();
      callback(err instanceof Error ? err : new Error('not handled', { cause: err }));
      return;
    }
    if (hasRoom) callback();
    else held.waits.push(callback);
  }

  private hold(stream: Stream): Held {
    if (this.held?.stream === stream) return this.held;
    const held: Held = { stream, done: (error) => this.settled(held, error), waits: [] };
    this.held = held;
    if (this.writes?.stream !== stream) this.writes = { stream, held: new HeldWrites(stream) };
    this.writes.held.hold();
    return held;
  }

  /** Called for every message of a group; the first call lets the acknowledgements go, or drops the link. */
  private settled(held: Held, error: Error | null): void {
    const { stream } = held;
    if (this.held === held) {
      if (error) {
        // nothing was acknowledged: the broker sends it again, in order
        this.held = null;
        this.droppedForStore = true;
        stream.destroy();
      } else {
        this.reconnect.stored();
        this.letGo();
      }
    }
    if (held.waits.length === 0) return;
    const isStored = error === null && !stream.destroyed;
    for (const callback of held.waits.splice(0)) callback(isStored ? undefined : new Error('not stored'));
  }

  private letGo(): void {
    this.held = null;
    this.writes?.held.release();
  }

  private closed(): void {
    const livedMs = this.connectedMono === null ? null : performance.now() - this.connectedMono;
    this.session.missing({ isUnreachable: livedMs === null });
    this.client.options.reconnectPeriod = this.reconnect.afterEnd(
      this.droppedForStore
        ? { kind: 'store-failed' }
        : livedMs === null
          ? { kind: 'not-reached' }
          : { kind: 'ended', livedMs, takenOver: this.takenOver },
    );
    this.held = null;
    this.connectedMono = null;
    this.isSubscribed = false;
    this.droppedForStore = false;
    this.takenOver = false;
  }
}

function packetOf({ topic, payload, qos, retain, dup, messageId, properties }: IPublishPacket): Packet {
  const userProperties = properties?.userProperties;
  return {
    topic,
    payload: typeof payload === 'string' ? Buffer.from(payload) : payload,
    qos,
    retained: retain,
    packetId: messageId ?? null,
    isRepeat: dup,
    sender: SENDER,
    ...(userProperties ? { userProperties } : {}),
  };
}
