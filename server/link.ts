import { EmbeddedBroker } from './broker/embedded-broker.ts';
import type { Config } from './config.ts';
import type { Done, GroupCommit } from './ingest/group-commit.ts';
import { toIntake, type Packet } from './ingest/intake.ts';
import type { Decoded, Message } from './ingest/message.ts';
import type { SessionMemory } from './ingest/broker-session.ts';
import { MqttSource } from './ingest/mqtt-source.ts';
import type { RefusedPacket } from './ingest/refused-packet.ts';
import type { SensorCap } from './ingest/sensor-cap.ts';
import type { Clock, Log, Outage } from './ports.ts';
import type { BrokerVitals } from './runtime/health.ts';
import { hostText, portRefused } from './start-refused.ts';

export type Link = {
  mqttUrl: string;
  vitals(): BrokerVitals;
  publishAlarms(payload: string): void;
  /** The topics that are taken as readings from now on. The embedded broker takes all. */
  setFilters(filters: readonly string[]): void;
  stop(): Promise<void>;
};

export type LinkWiring = {
  group: GroupCommit;
  clock: Clock;
  log: Log;
  clientId: string;
  understand: (message: Message) => Decoded;
  /** Messages of an external broker on topics that are not taken as readings. */
  heard: (message: Message) => void;
  refused: (packet: RefusedPacket) => Decoded;
  filters: readonly string[];
  cap: SensorCap;
  memory: SessionMemory;
  onOutage: (outage: Outage) => void;
};

/** An address as it may be shown: a password in it stays out of health, logs and the ready line. */
function withoutSecrets(url: string): string {
  const { protocol, host } = new URL(url);
  return `${protocol}//${host}`;
}

export async function openLink(config: Config, wiring: LinkWiring): Promise<Link> {
  return config.brokerUrl === null
    ? openEmbedded(config, wiring)
    : openExternal(config, config.brokerUrl, wiring);
}

/** One way in for both brokers. `client` null: which device it was cannot be told. */
function taker({ group, clock, understand, cap }: LinkWiring) {
  return (packet: Packet, client: string | null, done: Done): boolean => {
    const receivedMs = clock.nowMs();
    const intake = toIntake(packet, receivedMs, understand);
    return group.add(cap.apply(intake, packet, { client, receivedMs }), done);
  };
}

function openExternal(config: Config, url: string, wiring: LinkWiring): Link {
  const { brokerUser: user, brokerPassword: password } = config;
  const take = taker(wiring);
  const shown = withoutSecrets(url);
  const source = new MqttSource({
    ...wiring,
    url,
    shownUrl: shown,
    user,
    password,
    take: (packet, done) => take(packet, null, done),
  });
  source.start();
  source.listenFor(wiring.heard);
  return {
    mqttUrl: shown,
    vitals: () => ({ ...source.status(), clients: null }),
    publishAlarms: (payload) => source.publishAlarms(payload),
    setFilters: (filters) => source.setFilters(filters),
    stop: () => source.stop(),
  };
}

async function openEmbedded(config: Config, wiring: LinkWiring): Promise<Link> {
  const { bind, mqttPort, brokerUser: user, brokerPassword: password } = config;
  const take = taker(wiring);
  const broker = new EmbeddedBroker({
    bind,
    port: mqttPort,
    user,
    password,
    log: wiring.log,
    take: (packet, done) => void take({ ...packet, retained: false }, packet.sender, done),
    // nobody waits for an answer: the client is gone
    onRefused: (packet) =>
      void wiring.group.add({ ...wiring.refused(packet), delivery: null }, () => undefined),
  });
  const port = await broker.start().catch((error: unknown) => {
    throw error instanceof Error
      ? portRefused('TONGSIDE_MQTT_PORT', mqttPort, error)
      : new Error('broker', { cause: error });
  });
  return {
    mqttUrl: `mqtt://${hostText(bind)}:${port}`,
    vitals: () => {
      const { clients: connected, ...news } = broker.news();
      const detail = `embedded, ${connected} connected`;
      return { isUp: broker.isListening, detail, onlyCounted: 0, clients: { connected, ...news } };
    },
    publishAlarms: (payload) => broker.publishAlarms(payload),
    setFilters: () => undefined,
    stop: () => broker.stop(),
  };
}
