import { connectAsync, type IClientOptions, type MqttClient } from 'mqtt';
import { onTestFinished } from 'vitest';
import { decode, TOPIC_FILTERS } from '../../server/ingest/decode.ts';
import { GroupCommit } from '../../server/ingest/group-commit.ts';
import { toIntake } from '../../server/ingest/intake.ts';
import { MqttSource, type MqttSourceOptions } from '../../server/ingest/mqtt-source.ts';
import type { Intake, Log, Outage } from '../../server/ports.ts';
import { openDatabase } from '../../server/store/database.ts';
import { SqliteReadings } from '../../server/store/readings.ts';
import type { Mosquitto } from './mosquitto.ts';
import { silentLog } from './silent-log.ts';
import { tempDir } from './temp-dir.ts';
import { until } from './until.ts';

type Faults = {
  /** Runs before a group is stored; may throw. */
  beforeCommit?: (intakes: Intake[]) => void;
  afterCommit?: (intakes: Intake[]) => void;
};

/** The way in from an external broker with a real store, in this process, so that faults can be made in it. */
export function aSource(broker: { url: string }, over: Partial<MqttSourceOptions> & Faults = {}) {
  const { beforeCommit, afterCommit, ...options } = over;
  const db = openDatabase(tempDir());
  const readings = new SqliteReadings(db);
  const outages: Outage[] = [];
  const connects: number[] = [];
  let kept: string | null = null;
  const log: Log = {
    ...silentLog,
    info: (_fields, message) => {
      if (message === 'connected to the broker') connects.push(performance.now());
    },
  };
  const group = new GroupCommit((intakes) => {
    beforeCommit?.(intakes);
    readings.commit(intakes);
    afterCommit?.(intakes);
    return readings.lastSyncMs;
  }, silentLog);
  const source = new MqttSource({
    url: broker.url,
    shownUrl: broker.url,
    user: null,
    password: null,
    clientId: 'tongside-test',
    filters: TOPIC_FILTERS,
    take: (packet, done) => group.add(toIntake(packet, Date.now(), decode), done),
    onOutage: (outage) => outages.push(outage),
    memory: { read: () => kept, write: (text) => (kept = text) },
    clock: { nowMs: () => Date.now(), speed: 1 },
    log,
    ...options,
  });
  onTestFinished(async () => {
    await source.stop();
    group.flush();
    db.close();
  });
  return {
    source,
    group,
    outages,
    connects,
    rejects: () => readings.rejects(50),
    stored: (sensorId: string) => readings.window(sensorId, 0, Date.now() + 60_000),
    up: () => until('the link', () => (source.status().isUp ? true : null), 20_000),
  };
}

export async function aDevice(broker: Mosquitto, options: IClientOptions = {}): Promise<MqttClient> {
  const client = await connectAsync(broker.url, options);
  client.on('error', () => undefined); // the broker is being ended: that is the test
  onTestFinished(() => void client.end(true));
  return client;
}
export const send = (device: MqttClient, sensor: string, payload: string) =>
  device.publishAsync(`tongside/reading/${sensor}`, payload, { qos: 1 });
