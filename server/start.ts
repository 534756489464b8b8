import { createServer, type Server as HttpServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { AccessControl, isOwnOrigin } from './api/access.ts';
import { createApp } from './api/app.ts';
import type { ApiDeps } from './api/deps.ts';
import { demoClock, systemClock } from './clock.ts';
import { isTimeZone, type Config } from './config.ts';
import { GroupCommit } from './ingest/group-commit.ts';
import { openLink, type Link } from './link.ts';
import { LiveSocket } from './live/socket.ts';
import type { Clock, LiveFeed, Log } from './ports.ts';
import { alarmSummary } from './runtime/alarm-summary.ts';
import { Counters } from './runtime/counters.ts';
import { healthOf, metricsText, type Vitals } from './runtime/health.ts';
import { buildRecord, recordCsv } from './runtime/record.ts';
import { Runtime } from './runtime/runtime.ts';
import { SqliteCookouts } from './store/cookouts.ts';
import { hostText, portRefused, StartRefused } from './start-refused.ts';
import { openDatabase } from './store/database.ts';
import { newId } from './store/ids.ts';
import { SqliteJournal } from './store/journal.ts';
import { SqliteReadings } from './store/readings.ts';
import { SqliteSettings } from './store/settings.ts';
import { Sweep } from './sweep.ts';

/** Whoever still holds a connection open does not keep the server from ending. */
const STOP_WITHIN_MS = 5_000;

export type RunningServer = {
  httpUrl: string;
  mqttUrl: string;
  dataDir: string;
  stop(): Promise<void>;
};

/** Opens everything in order and wires it; `stop` closes it in the opposite order and may be called twice. */
export async function startServer(config: Config, log: Log, webDir: string): Promise<RunningServer> {
  const clock = config.demoClock ? demoClock(config.demoClock) : systemClock;
  const stores = openStores(config);
  const late: Late = { socket: null, link: null };
  const counters = new Counters();
  const group = new GroupCommit((intakes) => counters.note(intakes, runtime.take(intakes)), log);
  const ports = { clock, log, feed: feedTo(late), isStoring: () => group.isStoring };
  const runtime = new Runtime({ ...stores, ...ports });
  const sweep = new Sweep(runtime);
  const access = new AccessControl(stores.settings, config.isLoopback, () => late.socket?.disconnectAll());
  const vitals = (): Vitals => ({
    isStoring: group.isStoring,
    sweepAgeMs: sweep.ageMs,
    watchOk: runtime.board().watchOk,
    broker: late.link?.isUp() ?? { isUp: false, detail: 'not started' },
    screens: late.socket?.screens ?? 0,
    commit: group.stats,
    counters,
  });
  const mqttUrl = (): string => late.link?.mqttUrl ?? '';
  const http = createServer(
    createApp(apiDeps({ config, clock, log, stores, runtime, access, vitals, mqttUrl, webDir })),
  );
  late.socket = new LiveSocket(http, {
    mayWatch: (request) => isOwnOrigin(request) && access.isOpen(request, Date.now()),
    snapshot: () => runtime.board(),
  });
  sweep.start();
  let stopping: Promise<void> | null = null;
  const stop = (): Promise<void> => {
    stopping ??= (async () => {
      http.closeAllConnections();
      await within(STOP_WITHIN_MS, late.link?.stop());
      group.flush();
      sweep.stop();
      const closing = late.socket?.stop();
      http.closeAllConnections();
      await within(STOP_WITHIN_MS, closing);
      stores.db.close();
    })();
    return stopping;
  };
  try {
    const port = await listen(http, config);
    const clientId = `tongside-${clientIdOf(stores.settings)}`;
    late.link = await openLink(config, { group, clock, log, clientId });
    const httpUrl = `http://${hostText(config.bind)}:${port}`;
    return { httpUrl, mqttUrl: late.link.mqttUrl, dataDir: config.dataDir, stop };
  } catch (error: unknown) {
    await stop();
    throw error;
  }
}

type Stores = ReturnType<typeof openStores>;
function openStores(config: Config) {
  const db = openDatabase(config.dataDir);
  const settings = new SqliteSettings(db);
  if (!config.isLoopback && settings.get('passphrase') === null) {
    db.close();
    throw new StartRefused(
      'TONGSIDE_BIND: no passphrase is set. Start once with TONGSIDE_BIND=127.0.0.1, open the screen, More, Reach, and set one',
    );
  }
  const readings = new SqliteReadings(db);
  return { db, settings, readings, cookouts: new SqliteCookouts(db), journal: new SqliteJournal(db) };
}

/** What is there only once the doors are open. */
type Late = { socket: LiveSocket | null; link: Link | null };

function feedTo(late: Late): LiveFeed {
  let told = '';
  return {
    board: (board) => {
      late.socket?.board(board);
      const summary = alarmSummary(board.alarms);
      if (summary === told || !late.link) return;
      told = summary;
      late.link.publishAlarms(summary);
    },
    readings: (newest) => late.socket?.readings(newest),
    alarm: (alarm) => late.socket?.alarm(alarm),
  };
}

type Wiring = {
  config: Config;
  clock: Clock;
  log: Log;
  stores: Stores;
  runtime: Runtime;
  access: AccessControl;
  vitals: () => Vitals;
  mqttUrl: () => string;
  webDir: string;
};

function apiDeps({ config, clock, log, stores, runtime, access, vitals, mqttUrl, webDir }: Wiring): ApiDeps {
  const { cookouts, readings, journal } = stores;
  return {
    cookouts,
    readings,
    clock,
    log,
    access,
    newId,
    defaultTimeZone: config.timeZone,
    isTimeZone,
    live: {
      board: () => runtime.board(),
      alarms: () => runtime.alarms(),
      forecast: (batchId) => runtime.forecast(batchId),
      acknowledge: (alarmId, note) => runtime.acknowledge(alarmId, note),
      refresh: () => runtime.tick(),
    },
    record: (id) => {
      const state = cookouts.get(id);
      return state
        ? buildRecord(state, { nowMs: clock.nowMs(), readings, journal: journal.entries(id) })
        : null;
    },
    recordCsv: (id) => {
      const state = cookouts.get(id);
      return state ? recordCsv(state, clock.nowMs(), readings) : null;
    },
    mqttUrl,
    health: () => healthOf(vitals()),
    metrics: () => metricsText(vitals()),
    webDir,
  };
}

/** Waits, but not for ever. */
async function within(ms: number, work: Promise<void> | undefined): Promise<void> {
  const timer = { stop: (): void => undefined };
  const late = new Promise<void>((resolve) => {
    const timeout = setTimeout(resolve, ms);
    timer.stop = () => clearTimeout(timeout);
  });
  await Promise.race([work, late]);
  timer.stop();
}

async function listen(http: HttpServer, config: Config): Promise<number> {
  await new Promise<void>((resolve, reject) => {
    http.once('error', (error: NodeJS.ErrnoException) =>
      reject(portRefused('TONGSIDE_HTTP_PORT', config.httpPort, error)),
    );
    http.listen(config.httpPort, config.bind, resolve);
  });
  const address: AddressInfo | string | null = http.address();
  return address === null || typeof address === 'string' ? config.httpPort : address.port;
}

/** The id under which an external broker keeps what came while the server was down: it must not change. */
function clientIdOf(settings: SqliteSettings): string {
  const known = settings.get('client-id');
  if (known !== null) return known;
  const id = newId();
  settings.set('client-id', id);
  return id;
}
