import { EmbeddedBroker } from './broker/embedded-broker.ts';
import type { Config } from './config.ts';
import type { GroupCommit } from './ingest/group-commit.ts';
import { toIntake } from './ingest/intake.ts';
import { MqttSource } from './ingest/mqtt-source.ts';
import type { Clock, Log } from './ports.ts';
import { hostText, portRefused } from './start-refused.ts';

export type Link = {
  mqttUrl: string;
  isUp(): { isUp: boolean; detail: string };
  publishAlarms(payload: string): void;
  stop(): Promise<void>;
};

/** An address as it may be shown: a password in it stays out of health, logs and the ready line. */
function withoutSecrets(url: string): string {
  const { protocol, host } = new URL(url);
  return `${protocol}//${host}`;
}

export async function openLink(
  config: Config,
  { group, clock, log, clientId }: { group: GroupCommit; clock: Clock; log: Log; clientId: string },
): Promise<Link> {
  const { brokerUrl: url, brokerUser: user, brokerPassword: password } = config;
  if (url !== null) {
    const source = new MqttSource({ url, user, password, clientId, group, clock, log });
    source.start();
    const shown = withoutSecrets(url);
    return {
      mqttUrl: shown,
      isUp: () => ({
        isUp: source.isConnected,
        detail: source.isConnected ? `connected to ${shown}` : `no connection to ${shown}`,
      }),
      publishAlarms: (payload) => source.publishAlarms(payload),
      stop: () => source.stop(),
    };
  }
  const broker = new EmbeddedBroker({
    bind: config.bind,
    port: config.mqttPort,
    user,
    password,
    log,
    take: (packet, done) => group.add(toIntake({ ...packet, retained: false }, clock.nowMs()), done),
  });
  const port = await broker.start().catch((error: unknown) => {
    throw error instanceof Error
      ? portRefused('TONGSIDE_MQTT_PORT', config.mqttPort, error)
      : new Error('broker', { cause: error });
  });
  return {
    mqttUrl: `mqtt://${hostText(config.bind)}:${port}`,
    isUp: () => ({ isUp: broker.isListening, detail: `embedded, ${broker.clients} connected` }),
    publishAlarms: (payload) => broker.publishAlarms(payload),
    stop: () => broker.stop(),
  };
}
