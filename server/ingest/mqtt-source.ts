import { connect, type MqttClient } from 'mqtt';
import type { Clock, Log } from '../ports.ts';
import { TOPIC_FILTERS } from './decode.ts';
import type { GroupCommit } from './group-commit.ts';
import { toIntake } from './intake.ts';

const SESSION_EXPIRY_S = 86_400;
const RECEIVE_MAXIMUM = 1_000;
const RECONNECT_MS = 1_000;
const SENDER = 'broker';
/** Retained summary of the alarms, for any lamp or horn. */
const ALARM_TOPIC = 'tongside/alarm';

export type MqttSourceOptions = {
  url: string;
  user: string | null;
  password: string | null;
  clientId: string;
  group: GroupCommit;
  clock: Clock;
  log: Log;
};
type Stream = MqttClient['stream'];

/**
 * Reads from an external broker. MQTT.js handles one QoS 1 packet at a time and acknowledges it when its callback is
 * called, so the callback is called at once but the outgoing stream is corked until the group is on disk: the
 * acknowledgements leave only after the commit, and one commit serves many messages.
 */
export class MqttSource {
  private readonly o: MqttSourceOptions;
  private readonly client: MqttClient;
  private corked: Stream | null = null;

  constructor(options: MqttSourceOptions) {
    this.o = options;
    this.client = connect(options.url, {
      protocolVersion: 5,
      clientId: options.clientId,
      clean: false,
      manualConnect: true,
      reconnectPeriod: RECONNECT_MS,
      resubscribe: false,
      properties: { sessionExpiryInterval: SESSION_EXPIRY_S, receiveMaximum: RECEIVE_MAXIMUM },
      ...(options.user === null ? {} : { username: options.user }),
      ...(options.password === null ? {} : { password: options.password }),
    });
  }

  get isConnected(): boolean {
    return this.client.connected;
  }

  start(): void {
    const { client } = this;
    const { log } = this.o;
    client.on('error', (err) => log.warn({ err }, 'broker connection'));
    client.on('close', () => {
      this.corked = null;
    });
    client.on('connect', (ack) => {
      log.info({ sessionPresent: ack.sessionPresent }, 'connected to the broker');
      this.subscribe();
    });
    // assigned before connecting: a message that arrives earlier would be acknowledged and lost
    client.handleMessage = (packet, callback) => {
      this.take(packet);
      callback();
    };
    client.connect();
  }

  publishAlarms(payload: string): void {
    this.client.publish(ALARM_TOPIC, payload, { qos: 1, retain: true }, (err) => {
      if (err) this.o.log.warn({ err }, 'could not publish the alarms');
    });
  }

  async stop(): Promise<void> {
    this.o.group.flush();
    await this.client.endAsync(!this.client.connected);
  }

  private subscribe(): void {
    // also when the session is still there: the server may have ended between its first connection and its subscription.
    // Retain Handling 1: retained messages only with a new subscription (MQTT 5, 3.8.3.1)
    this.client.subscribe(TOPIC_FILTERS, { qos: 1, rh: 1 }, (err) => {
      if (err) this.o.log.error({ err }, 'could not subscribe');
    });
  }

  private take(packet: Parameters<MqttClient['handleMessage']>[0]): void {
    const { stream } = this.client;
    if (this.corked !== stream) {
      this.corked = stream;
      stream.cork();
    }
    const payload = typeof packet.payload === 'string' ? Buffer.from(packet.payload) : packet.payload;
    const intake = toIntake(
      {
        topic: packet.topic,
        payload,
        qos: packet.qos,
        retained: packet.retain,
        packetId: packet.messageId ?? null,
        isRepeat: packet.dup,
        sender: SENDER,
      },
      this.o.clock.nowMs(),
    );
    this.o.group.add(intake, (error) => this.settled(stream, error));
  }

  /** Called for every message of a group; the first call lets the acknowledgements go, or drops the link. */
  private settled(stream: Stream, error: Error | null): void {
    if (this.corked === stream) this.corked = null;
    else return;
    if (error)
      stream.destroy(); // nothing was acknowledged: the broker sends it again, in order
    else process.nextTick(() => stream.uncork());
  }
}
