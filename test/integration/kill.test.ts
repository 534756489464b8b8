import { connect, type MqttClient } from 'mqtt';
import Database from 'better-sqlite3';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import type { Health } from '../../server/contract/api.ts';
import { call, post } from '../support/http.ts';
import { hasMosquitto, runMosquitto } from '../support/mosquitto.ts';
import { runServer, type Env, type ServerProcess } from '../support/run-server.ts';
import { tempDir } from '../support/temp-dir.ts';
import { until } from '../support/until.ts';

const KILLS = 5;
const EACH_MS = 2;
const BUSY_WITHIN_MS = 50;
const PATIENCE_MS = 50_000;
const PORTS = (server: ServerProcess): Env => ({
  TONGSIDE_HTTP_PORT: new URL(server.httpUrl).port,
  ...(server.mqttUrl.startsWith('mqtt://127.0.0.1')
    ? { TONGSIDE_MQTT_PORT: new URL(server.mqttUrl).port }
    : {}),
});

/** A probe that numbers its readings by time and sends each until it is acknowledged. */
class Probe {
  readonly acknowledged = new Set<number>();
  private readonly client: MqttClient;
  private readonly startMs = Date.now() - 3_600_000;
  private sent = 0;
  private sentAtMono = -Infinity;
  private running = true;

  constructor(url: string) {
    this.client = connect(url, { reconnectPeriod: 50, clientId: 'probe', clean: true });
    this.client.on('error', () => undefined); // the server is being killed: that is the test
    const timer = setInterval(() => {
      if (!this.running) return;
      this.sentAtMono = performance.now();
      this.send(this.sent++);
    }, EACH_MS);
    onTestFinished(() => {
      clearInterval(timer);
      this.client.end(true);
    });
  }

  pause(): void {
    this.running = false;
  }
  /** It published within the last moments. */
  get isBusy(): boolean {
    return performance.now() - this.sentAtMono < BUSY_WITHIN_MS;
  }
  get total(): number {
    return this.sent;
  }
  timeOf(n: number): number {
    return this.startMs + n;
  }

  private send(n: number): void {
    const payload = JSON.stringify({ value: (n % 900) / 10, time: this.timeOf(n) });
    this.client.publish('tongside/reading/flood', payload, { qos: 1 }, (error) => {
      if (error) setTimeout(() => this.send(n), 20);
      else this.acknowledged.add(n);
    });
  }
}

/** Nothing can be kept for a subscriber that has never been there. */
async function linkUp({ httpUrl }: ServerProcess): Promise<void> {
  await until('the link to the broker', async () => {
    const { body } = await call<Health>(`${httpUrl}/api/health`);
    return body.checks['broker']?.ok === true ? true : null;
  });
}

function storedTimes(dataDir: string): number[] {
  const db = new Database(join(dataDir, 'tongside.db'), { readonly: true });
  expect(db.pragma('integrity_check', { simple: true })).toBe('ok');
  const rows = db.prepare<[], { at_ms: number }>('SELECT at_ms FROM reading').all();
  db.close();
  return rows.map((row) => row.at_ms);
}

async function killInMidFlood(env: Env, brokerUrl: string | null): Promise<void> {
  let server = await runServer(env);
  const again = { ...env, ...PORTS(server) };
  await linkUp(server);
  const probe = new Probe(brokerUrl ?? server.mqttUrl);
  let busyKills = 0;
  for (let i = 0; i < KILLS; i += 1) {
    const before = probe.acknowledged.size;
    await until(
      'acknowledged readings',
      () => (probe.acknowledged.size > before + 200 ? true : null),
      PATIENCE_MS,
    );
    if (probe.isBusy) busyKills += 1;
    await server.kill();
    server = await runServer(again);
  }
  probe.pause();
  await until(
    'every reading to be acknowledged',
    () => (probe.acknowledged.size === probe.total ? true : null),
    PATIENCE_MS,
  );
  const wanted = new Set([...probe.acknowledged].map((n) => probe.timeOf(n)));
  const stored = await until(
    'every acknowledged reading in the store',
    () => {
      const times = storedTimes(env['TONGSIDE_DATA_DIR'] ?? '');
      return times.length >= wanted.size ? times : null;
    },
    PATIENCE_MS,
  );
  expect(busyKills).toBe(KILLS);
  expect(stored).toHaveLength(wanted.size);
  expect(stored.filter((atMs) => !wanted.has(atMs))).toEqual([]);
}

describe('the server killed in the middle of the work', () => {
  it(
    'loses no acknowledged reading and doubles none, with the embedded broker',
    { timeout: 240_000 },
    async () => {
      await killInMidFlood({ TONGSIDE_DATA_DIR: tempDir() }, null);
    },
  );

  it.runIf(hasMosquitto)(
    'loses no acknowledged reading and doubles none, with mosquitto',
    { timeout: 240_000 },
    async () => {
      const broker = await runMosquitto();
      await killInMidFlood({ TONGSIDE_DATA_DIR: tempDir(), TONGSIDE_BROKER_URL: broker.url }, broker.url);
    },
  );

  it('shows the same board after a restart, with what was set up, done and seen', async () => {
    const env = { TONGSIDE_DATA_DIR: tempDir() };
    const server = await runServer(env);
    const api = `${server.httpUrl}/api`;
    const cookout = await post(`${api}/cookouts`, {
      name: 'Restart',
      ruleSet: 'us',
      serves: [{ atMs: Date.now() + 3_600_000 }],
    });
    await post(`${api}/cookouts/${cookout.body.id}/places`, { kind: 'zone', name: 'Left', heat: 'hot' });
    const dish = { name: 'Burgers', food: 'beef-minced', shape: 'slab', thicknessMm: 20, targetC: 71 };
    const made = await post(`${api}/cookouts/${cookout.body.id}/dishes`, dish);
    const batch = await post(`${api}/dishes/${made.body.id}/batches`, { pieces: 10, sensorId: 'core' });
    await post(`${api}/batches/${batch.body.id}/steps`, { step: 'on', zone: 'hot' });
    await post(`${api}/batches/${batch.body.id}/spot-checks`, { tempC: 40, where: 'thickest part' });
    type BoardBody = { asOfMs: number; rows: unknown[]; next: unknown[]; cookout: unknown };
    const timeless = ({ rows, next, cookout: c }: BoardBody) => ({ rows, next: next.length, cookout: c });
    const before = (await call<BoardBody>(`${api}/board`)).body;
    await server.kill();
    const restarted = await runServer(env);
    const after = (await call<BoardBody>(`${restarted.httpUrl}/api/board`)).body;
    expect(before.rows).toHaveLength(1);
    expect(timeless(after)).toEqual(timeless(before));
  });
});
