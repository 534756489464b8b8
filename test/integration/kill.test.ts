import Database from 'better-sqlite3';
import { once } from 'node:events';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { Health } from '../../server/contract/api.ts';
import { floodCenti } from '../support/flood-client.ts';
import { openFlood, type Flood, type FloodReport, type KillMoment } from '../support/flooding.ts';
import { call, post } from '../support/http.ts';
import { hasMosquitto, runMosquitto } from '../support/mosquitto.ts';
import { runServer, type Env, type ServerProcess } from '../support/run-server.ts';
import { tempDir } from '../support/temp-dir.ts';
import { until } from '../support/until.ts';

const KILLS = 20;
/** What must have been offered, messages a second, and a little more that is asked of the flood so that it is. */
const OFFERED_PER_S = 2_000;
const ASKED_PER_S = 2_100;
/** A kill counts when the server acknowledged something this short a time before, or owes an acknowledgement. */
const BUSY_MS = 20;
/** Readings that each life of the server stores before it may be killed. */
const EACH_LIFE = 500;
const PATIENCE_MS = 60_000;
const FLOOD = { clients: 4, sensorsPerClient: 4, perSecond: ASKED_PER_S };

/** Spread over the phases of a group commit, the same in every run. */
const killAfterMs = (n: number): number => (n * 37) % 150;

const samePorts = ({ httpUrl, mqttUrl }: ServerProcess, hasOwnBroker: boolean): Env => ({
  TONGSIDE_HTTP_PORT: new URL(httpUrl).port,
  ...(hasOwnBroker ? { TONGSIDE_MQTT_PORT: new URL(mqttUrl).port } : {}),
});

/** Nothing can be kept for a subscriber that has never been there. */
async function linkUp({ httpUrl }: ServerProcess): Promise<void> {
  await until('the link to the broker', async () => {
    const { body } = await call<Health>(`${httpUrl}/api/health`);
    return body.checks['broker']?.ok === true ? true : null;
  });
}

async function storesAgain({ httpUrl }: ServerProcess): Promise<void> {
  await until(
    'readings to be stored',
    async () => {
      const { body } = await call<string>(`${httpUrl}/metrics`);
      const accepted = Number(/^tongside_readings_accepted_total (\d+)$/m.exec(body)?.[1]);
      return accepted >= EACH_LIFE ? true : null;
    },
    PATIENCE_MS,
  );
}

/**
 * How often each value of each sensor is in the store. Every message of the flood has another value, so that bare numbers
 * are accounted for as exactly as those with a time. That none of them is doubled rests on the sender: it sends again with
 * the same packet id and DUP set (MQTT-4.4.0-1). One that publishes the same number anew cannot be told from a new reading.
 */
function storedValues(dataDir: string): Map<string, Map<number, number>> {
  const db = new Database(join(dataDir, 'tongside.db'), { readonly: true });
  const rows = db
    .prepare<[], { id: string; centi: number; n: number }>(
      'SELECT sensor.id AS id, centi_c AS centi, count(*) AS n FROM reading JOIN sensor ON sensor.key = sensor_key GROUP BY id, centi',
    )
    .all();
  db.close();
  const found = new Map<string, Map<number, number>>();
  for (const { id, centi, n } of rows) {
    const values = found.get(id) ?? new Map<number, number>();
    found.set(id, values.set(centi, n));
  }
  return found;
}

type Account = { acknowledged: number; lost: string[]; doubled: string[]; unknown: string[] };

/** Everything that was acknowledged against everything that is stored. All that was sent must be acknowledged by then. */
function accountOf({ sensors }: FloodReport, dataDir: string): Account {
  const found = storedValues(dataDir);
  const account: Account = { acknowledged: 0, lost: [], doubled: [], unknown: [] };
  for (const { id, sent } of sensors) {
    const values = found.get(id) ?? new Map<number, number>();
    for (let n = 0; n < sent; n += 1) {
      const times = values.get(floodCenti(n)) ?? 0;
      if (times === 0) account.lost.push(`${id} ${n}`);
      if (times > 1) account.doubled.push(`${id} ${n}`);
      values.delete(floodCenti(n));
      account.acknowledged += 1;
    }
    for (const centi of values.keys()) account.unknown.push(`${id} ${centi}`);
    found.delete(id);
  }
  account.unknown.push(...found.keys());
  return account;
}

function integrityOf(dataDir: string): unknown {
  const db = new Database(join(dataDir, 'tongside.db'), { readonly: true });
  const answer = db.pragma('integrity_check', { simple: true });
  db.close();
  return answer;
}

async function killAgainAndAgain(
  first: ServerProcess,
  env: Env,
  flood: Flood,
): Promise<{ moments: KillMoment[]; last: ServerProcess }> {
  const moments: KillMoment[] = [];
  let server = first;
  for (let n = 0; n < KILLS; n += 1) {
    await storesAgain(server);
    const { pid } = server.child;
    const gone = once(server.child, 'exit');
    if (pid === undefined) throw new Error('the server has no process id');
    moments.push(await flood.kill(pid, { afterMs: killAfterMs(n), busyMs: BUSY_MS }));
    expect((await gone)[1]).toBe('SIGKILL');
    server = await runServer(env);
  }
  return { moments, last: server };
}

/** Waits until everything is acknowledged and everything acknowledged has had the time to be stored. */
async function settled(flood: Flood, dataDir: string): Promise<Account> {
  await flood.pause();
  const report = await until(
    'every reading to be acknowledged',
    async () => {
      const now = await flood.report();
      return now.sensors.every(({ sent, acked }) => sent === acked) ? now : null;
    },
    PATIENCE_MS,
  );
  let before = -1;
  return until(
    'the store to come to rest',
    async () => {
      const account = accountOf(report, dataDir);
      if (account.lost.length === 0 || account.lost.length === before) return account;
      before = account.lost.length;
      await new Promise((resolve) => setTimeout(resolve, 5_000));
      return null;
    },
    PATIENCE_MS,
  );
}

async function survives(env: Env, first: ServerProcess, flood: Flood): Promise<void> {
  const dataDir = env['TONGSIDE_DATA_DIR'] ?? '';
  flood.start();
  const { moments, last } = await killAgainAndAgain(first, env, flood);
  const { offered, runningMs, resent } = await flood.report();
  const account = await settled(flood, dataDir);
  expect(await last.stop()).toBe(0);
  const rate = offered / (runningMs / 1_000);
  process.stdout.write(
    `${moments.length} kills, ${rate.toFixed(0)} messages/s offered, ${account.acknowledged} acknowledged, ` +
      `${resent} sent again, in flight at a kill ${moments.map((m) => m.inFlight).join(' ')}\n`,
  );
  expect(moments.filter((m) => !m.busy)).toEqual([]);
  expect(rate).toBeGreaterThanOrEqual(OFFERED_PER_S);
  expect(account.acknowledged).toBeGreaterThan(KILLS * EACH_LIFE);
  expect(account.lost).toEqual([]);
  expect(account.doubled).toEqual([]);
  expect(account.unknown).toEqual([]);
  expect(integrityOf(dataDir)).toBe('ok');
}

describe('the server killed in the middle of the work', () => {
  it(
    `loses no acknowledged reading and doubles none in ${KILLS} kills, with the embedded broker`,
    { timeout: 240_000 },
    async () => {
      const env: Env = { TONGSIDE_DATA_DIR: tempDir() };
      const first = await runServer(env);
      const flood = await openFlood({ ...FLOOD, port: Number(new URL(first.mqttUrl).port), watchPort: null });
      await survives({ ...env, ...samePorts(first, true) }, first, flood);
    },
  );

  it.runIf(hasMosquitto)(
    `loses no acknowledged reading and doubles none in ${KILLS} kills, with mosquitto`,
    { timeout: 240_000 },
    async () => {
      const broker = await runMosquitto();
      const flood = await openFlood({ ...FLOOD, port: broker.port, watchPort: broker.port });
      const env: Env = {
        TONGSIDE_DATA_DIR: tempDir(),
        TONGSIDE_BROKER_URL: `mqtt://127.0.0.1:${flood.watchedPort}`,
      };
      const first = await runServer(env);
      await linkUp(first);
      await survives({ ...env, ...samePorts(first, false) }, first, flood);
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
