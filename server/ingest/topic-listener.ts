import { connect, type IClientOptions, type MqttClient } from 'mqtt';
import type { Clock, Log } from '../ports.ts';
import type { Message } from './message.ts';

/** A person looks at them: more a second tells nothing. OURS. */
const HANDED_ON_PER_S = 50;
/** Beyond this many messages a second, ours included, looking for unknown ones would cost the known ones. OURS. */
const TOO_BUSY_PER_S = 1_000;
const REST_MS = 10_000;
const SECOND_MS = 1_000;
/** Retain Handling: MQTT 5, 3.8.3.1. */
const WITH_RETAINED = 0;
const NEW_ONLY = 2;

export type TopicListenerOptions = {
  url: string;
  connection: IClientOptions;
  /** Topics that are taken as readings already. */
  isOurs: (topic: string) => boolean;
  heard: (message: Message) => void;
  clock: Clock;
  log: Log;
};

/**
 * Hears everything at QoS 0, in a session that is forgotten at once, to find devices that no rule understands. Nothing is
 * acknowledged or stored here, and when the broker is busy it rests.
 */
export class TopicListener {
  private readonly o: TopicListenerOptions;
  private readonly client: MqttClient;
  private secondStartMono = -Infinity;
  private inSecond = 0;
  private handedInSecond = 0;
  private rest: NodeJS.Timeout | null = null;
  /** Messages on topics that are not ours and that were not handed on. */
  onlyCounted = 0;

  constructor(options: TopicListenerOptions) {
    this.o = options;
    this.client = connect(options.url, {
      ...options.connection,
      clean: true,
      reconnectPeriod: 5_000,
      reconnectOnConnackError: true,
    });
    this.client.on('error', () => undefined); // the main connection says what is wrong with the broker
    this.client.on('connect', () => {
      if (!this.rest) this.subscribe(WITH_RETAINED);
    });
    this.client.on('message', (topic, payload, packet) => {
      this.hear({
        topic,
        payload,
        retained: packet.retain,
        receivedMs: options.clock.nowMs(),
        ...(packet.properties?.userProperties ? { userProperties: packet.properties.userProperties } : {}),
      });
    });
  }

  async stop(): Promise<void> {
    if (this.rest) clearTimeout(this.rest);
    await this.client.endAsync(true);
  }

  private hear(message: Message): void {
    const now = performance.now();
    if (now - this.secondStartMono >= SECOND_MS) {
      this.secondStartMono = now;
      this.inSecond = 0;
      this.handedInSecond = 0;
    }
    this.inSecond += 1;
    if (this.inSecond > TOO_BUSY_PER_S) this.takeRest();
    if (this.o.isOurs(message.topic)) return;
    if (this.handedInSecond >= HANDED_ON_PER_S) {
      this.onlyCounted += 1;
      return;
    }
    this.handedInSecond += 1;
    try {
      this.o.heard(message);
    } catch (err: unknown) {
      this.o.log.error({ err, topic: message.topic }, 'an unknown topic could not be noted');
    }
  }

  private subscribe(rh: typeof WITH_RETAINED | typeof NEW_ONLY): void {
    this.client.subscribe('#', { qos: 0, rh }, (err) => {
      if (err) this.o.log.warn({ err }, 'unknown topics cannot be listened for');
    });
  }

  private takeRest(): void {
    if (this.rest) return;
    this.client.unsubscribe('#');
    this.rest = setTimeout(() => {
      this.rest = null;
      if (this.client.connected) this.subscribe(NEW_ONLY);
    }, REST_MS);
  }
}
