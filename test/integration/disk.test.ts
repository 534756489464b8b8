import Database from 'better-sqlite3';
import { spawnSync } from 'node:child_process';
import { statSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import type { Health, Problem } from '../../server/contract/api.ts';
import type { Board } from '../../server/contract/board.ts';
import { folderOfAStoppedServer } from '../support/damage.ts';
import { call } from '../support/http.ts';
import { hasMosquitto, runMosquitto } from '../support/mosquitto.ts';
import { NumberedProbe } from '../support/numbered-probe.ts';
import { runServer, type Env, type ServerProcess } from '../support/run-server.ts';
import { smallDisk } from '../support/small-disk.ts';
import { storedTimes } from '../support/stored.ts';
import { tempDir } from '../support/temp-dir.ts';
import { until } from '../support/until.ts';

/** What the server logs of a failing store is known here. */
const QUIET = { TONGSIDE_LOG_LEVEL: 'fatal' };
const EVERY_MS = 2;
const PATIENCE_MS = 60_000;
const TIMEOUT = { timeout: 180_000 };
/** A tick a second, a write that waits at most a quarter of a second, and a busy machine beside it. */
const LOOP_HELD_UP_MS = 1_500;
const WATCH_AGE_MS = 3_500;

const healthOf = ({ httpUrl }: ServerProcess) => call<Health>(`${httpUrl}/api/health`);
const storing = (server: ServerProcess, isOk: boolean): Promise<true> =>
  until(
    isOk ? 'readings to be stored' : 'health to say that readings are not stored',
    async () => {
      const { status, body } = await healthOf(server);
      return (status === 200) === isOk && body.checks['storing']?.ok === isOk ? true : null;
    },
    PATIENCE_MS,
  );

async function linkUp(server: ServerProcess): Promise<void> {
  await until('the link to the broker', async () =>
    (await healthOf(server)).body.checks['broker']?.ok === true ? true : null,
  );
}

async function alarmTitles({ httpUrl }: ServerProcess): Promise<string[]> {
  const { body } = await call<Board>(`${httpUrl}/api/board`);
  return body.alarms.filter((alarm) => alarm.state === 'unacknowledged').map((alarm) => alarm.title);
}

const NOT_KEPT = 'Readings not kept';
const alarmed = (server: ServerProcess): Promise<true> =>
  until('the alarm', async () => ((await alarmTitles(server)).includes(NOT_KEPT) ? true : null), PATIENCE_MS);

/** What the probe was told is stored must be stored; with a broker between, it is the broker that was told. */
function expectKept(probe: NumberedProbe, dir: string): void {
  const acknowledged = probe.acknowledgedTimes();
  const stored = new Set(storedTimes(dir));
  expect(acknowledged.filter((atMs) => !stored.has(atMs))).toEqual([]);
  expect(acknowledged.length).toBeGreaterThan(0);
}

async function allKept(probe: NumberedProbe, look: () => string): Promise<void> {
  probe.pause();
  await until(
    'every acknowledgement',
    () => (probe.acknowledged.size === probe.total ? true : null),
    PATIENCE_MS,
  );
  await until(
    'every reading in the store',
    () => (storedTimes(look()).length >= probe.total ? true : null),
    PATIENCE_MS,
  );
  expect(storedTimes(look())).toEqual(probe.sentTimes());
}

const some = (probe: NumberedProbe, more: number): Promise<true> => {
  const from = probe.acknowledged.size;
  return until(
    'acknowledged readings',
    () => (probe.acknowledged.size > from + more ? true : null),
    PATIENCE_MS,
  );
};

async function fillAndFree(env: Env, brokerUrl: string | null): Promise<void> {
  const disk = smallDisk(8);
  const server = await runServer({ ...QUIET, ...env, TONGSIDE_DATA_DIR: disk.dir }, disk.under);
  const pid = server.child.pid ?? 0;
  const look = (): string => disk.look(pid);
  await linkUp(server);
  const probe = new NumberedProbe(brokerUrl ?? server.mqttUrl, EVERY_MS);
  await some(probe, 300);
  disk.fill(pid);
  await storing(server, false);
  await alarmed(server);
  if (brokerUrl === null) expectKept(probe, look());
  await new Promise((resolve) => setTimeout(resolve, 3_000));
  expect((await healthOf(server)).status).toBe(503);
  if (brokerUrl === null) expectKept(probe, look());
  disk.free(pid);
  await storing(server, true);
  await some(probe, 300);
  await until(
    'the end of the alarm',
    async () => ((await alarmTitles(server)).includes(NOT_KEPT) ? null : true),
    PATIENCE_MS,
  );
  await allKept(probe, look);
  expect([server.child.exitCode, server.child.signalCode]).toEqual([null, null]);
}

describe('a full disk', () => {
  it(
    'is said and alarmed, nothing is acknowledged that is not stored, and readings resume by themselves',
    TIMEOUT,
    () => fillAndFree({}, null),
  );

  it.runIf(hasMosquitto)(
    'does the same with mosquitto, which keeps what came meanwhile',
    TIMEOUT,
    async () => {
      const broker = await runMosquitto();
      await fillAndFree({ TONGSIDE_BROKER_URL: broker.url }, broker.url);
    },
  );
});

const MAIN = join(import.meta.dirname, '..', '..', 'dist', 'server', 'main.js');
/** Of `sh -c`, with the folder to begin with, the disk, and the command. */
const IN_NO_ROOM = 'cp -r "$0" "$1/data"; dd if=/dev/zero of="$1/filler" bs=1k 2>/dev/null; shift; exec "$@"';
const IN_NO_FILE = 'cp -r "$0" "$1/data"; shift; exec prlimit --fsize=0 "$@"';

/** Starts the server in a copy of a data folder on a disk that has no byte left. */
function startOnFullDisk(folder: string) {
  const disk = smallDisk(2);
  const isLimit = disk.how === 'a limit on the size of files';
  const dir = join(disk.dir, 'data');
  const [command, ...args] = [...disk.under, 'sh', '-c', isLimit ? IN_NO_FILE : IN_NO_ROOM, folder, disk.dir];
  const { status, stderr } = spawnSync(command, [...args, process.execPath, MAIN], {
    env: {
      PATH: process.env['PATH'],
      TONGSIDE_DATA_DIR: dir,
      TONGSIDE_HTTP_PORT: '0',
      TONGSIDE_MQTT_PORT: '0',
    },
    encoding: 'utf8',
    timeout: 20_000,
  });
  return {
    code: status,
    said: stderr,
    dir,
    advice: isLimit ? 'See that the disk works' : 'Make room on that disk',
  };
}

describe('a start on a full disk', () => {
  it.each([
    { what: 'with readings in its folder', folder: folderOfAStoppedServer },
    { what: 'for the first time', folder: tempDir },
  ])('is refused in one line, with the file and what to do: $what', TIMEOUT, ({ folder }) => {
    const { code, said, dir, advice } = startOnFullDisk(folder());
    expect(said).toContain('Tongside was not started');
    expect(said).toContain(join(dir, 'tongside.'));
    expect(said).toContain(advice);
    expect(said.trimEnd().split('\n')).toHaveLength(1);
    expect(code).toBe(2);
  });
});

describe('the log of the database', () => {
  it('grows while somebody reads for long, and is cut back afterwards', TIMEOUT, async () => {
    const dir = tempDir();
    const server = await runServer({ TONGSIDE_DATA_DIR: dir });
    const probe = new NumberedProbe(server.mqttUrl, EVERY_MS);
    await some(probe, 100);
    const reader = new Database(join(dir, 'tongside.db'), { readonly: true });
    onTestFinished(() => void reader.close());
    reader.exec('BEGIN');
    reader.prepare('SELECT count(*) FROM reading').get();
    const logBytes = (): number => statSync(join(dir, 'tongside.db-wal')).size;
    // 8 MB is what is kept of it (server/store/database.ts)
    await until('a long log', () => (logBytes() > 10_000_000 ? true : null), PATIENCE_MS);
    expect((await healthOf(server)).status).toBe(200);
    reader.exec('COMMIT');
    await until('a short log', () => (logBytes() <= 8 * 1024 * 1024 ? true : null), PATIENCE_MS);
    await allKept(probe, () => dir);
  });
});

/** How long the server took to answer at worst, and how old its watch was, while something goes on. */
async function watchLoop(
  server: ServerProcess,
  forMs: number,
): Promise<{ worstMs: number; oldestMs: number }> {
  const seen = { worstMs: 0, oldestMs: 0 };
  const endMs = performance.now() + forMs;
  while (performance.now() < endMs) {
    const askedMs = performance.now();
    const { body } = await call<Board>(`${server.httpUrl}/api/board`);
    seen.worstMs = Math.max(seen.worstMs, performance.now() - askedMs);
    seen.oldestMs = Math.max(seen.oldestMs, Date.now() - body.asOfMs);
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
  return seen;
}

async function lockAndRelease(env: Env, brokerUrl: string | null): Promise<void> {
  const dir = tempDir();
  const server = await runServer({ ...QUIET, ...env, TONGSIDE_DATA_DIR: dir });
  await linkUp(server);
  const probe = new NumberedProbe(brokerUrl ?? server.mqttUrl, EVERY_MS);
  await some(probe, 300);
  const other = new Database(join(dir, 'tongside.db'), { timeout: 20_000 });
  onTestFinished(() => void other.close());
  other.exec('BEGIN EXCLUSIVE');
  await storing(server, false);
  await alarmed(server);
  const cookout = { name: 'Supper', ruleSet: 'uk', serves: [{ atMs: Date.now() + 3_600_000 }] };
  const refused = await call<Problem>(`${server.httpUrl}/api/cookouts`, { method: 'POST', body: cookout });
  expect(refused.status).toBe(503);
  expect(refused.body.title).toMatch(/nothing was changed/);
  const seen = await watchLoop(server, 4_000);
  expect((await healthOf(server)).status).toBe(503);
  expect(seen.worstMs).toBeLessThan(LOOP_HELD_UP_MS);
  expect(seen.oldestMs).toBeLessThan(WATCH_AGE_MS);
  if (brokerUrl === null) expectKept(probe, dir);
  other.exec('COMMIT');
  await storing(server, true);
  const made = await call(`${server.httpUrl}/api/cookouts`, { method: 'POST', body: cookout });
  expect(made.status).toBe(201);
  await some(probe, 300);
  await until(
    'the end of the alarm',
    async () => ((await alarmTitles(server)).includes(NOT_KEPT) ? null : true),
    PATIENCE_MS,
  );
  await allKept(probe, () => dir);
  expect([server.child.exitCode, server.child.signalCode]).toEqual([null, null]);
}

describe('a database that another program has locked', () => {
  it('is said and alarmed, the watch goes on, and readings resume by themselves', TIMEOUT, () =>
    lockAndRelease({}, null),
  );

  it.runIf(hasMosquitto)('does the same with mosquitto', TIMEOUT, async () => {
    const broker = await runMosquitto();
    await lockAndRelease({ TONGSIDE_BROKER_URL: broker.url }, broker.url);
  });
});
