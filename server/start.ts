import { createServer, type Server as HttpServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { apiDeps } from './api-wiring.ts';
import { AccessControl, isOwnOrigin } from './api/access.ts';
import { createApp } from './api/app.ts';
import type { Config } from './config.ts';
import { QualityGate } from './ingest/gate/quality-gate.ts';
import { GroupCommit } from './ingest/group-commit.ts';
import { SensorCap } from './ingest/sensor-cap.ts';
import { openLink, type Link } from './link.ts';
import { LiveSocket } from './live/socket.ts';
import { Machine } from './machine.ts';
import { openMessageDoor } from './message-door.ts';
import type { LiveFeed, Log } from './ports.ts';
import { alarmSummary } from './runtime/alarm-summary.ts';
import { Counters } from './runtime/counters.ts';
import type { Vitals } from './runtime/health.ts';
import { OutageKeeper } from './runtime/outage-keeper.ts';
import { ProbeDesk } from './runtime/probe-desk.ts';
import { Runtime } from './runtime/runtime.ts';
import { UnpluggedChannels } from './runtime/unplugged.ts';
import { hostText, portRefused } from './start-refused.ts';
import { newId } from './store/ids.ts';
import { clientIdOf, openStores, type Stores } from './stores.ts';
import { Sweep } from './sweep.ts';
import { keepTime, type Timekeeping } from './timekeeping.ts';

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
  const stores = openStores(config);
  const parts = closingOnFailure(stores, () => wire(config, log, { stores, webDir }));
  const { late, http } = parts;
  const stop = stopOf(stores, parts);
  try {
    const port = await listen(http, config, log);
    late.link = await openLink(config, parts.linkWiring);
    const httpUrl = `http://${hostText(config.bind)}:${port}`;
    return { httpUrl, mqttUrl: late.link.mqttUrl, dataDir: config.dataDir, stop };
  } catch (error: unknown) {
    await stop();
    throw error;
  }
}

function closingOnFailure<T>(stores: Stores, open: () => T): T {
  try {
    return open();
  } catch (error: unknown) {
    stores.close();
    throw error;
  }
}

/** Everything between the stores and the doors; the watch runs when it returns. */
function wire(config: Config, log: Log, { stores, webDir }: { stores: Stores; webDir: string }) {
  const time = keepTime(config, stores.settings, newestMs(stores));
  const { clock } = time;
  const late: Late = { socket: null, link: null };
  const door = openMessageDoor(config, stores.readings, clock);
  door.book.onChange(() => late.link?.setFilters(door.book.filters));
  const { counters, unplugged, outages, desk } = ledgers(stores, { time, log });
  const group = new GroupCommit((intakes) => {
    const result = runtime.take(intakes);
    unplugged.note(intakes, result.stored);
    counters.note(intakes, result);
    return stores.readings.lastSyncMs;
  }, log);
  const gate = new QualityGate();
  const ports = { clock, gate, log, feed: feedTo(late), isStoring: () => group.isStoring };
  const runtime = new Runtime({
    ...stores,
    ...ports,
    probes: desk,
    unpluggedSinceMs: (id) => unplugged.sinceMs(id),
  });
  const sweep = new Sweep(runtime, () => outages.beat(clock.nowMs(), group.isStoring));
  // not known yet counts as cooking: our time may not be moved then
  const isCooking = (): boolean =>
    sweep.ageMs === null || !runtime.board().watchOk || runtime.board().cookout !== null;
  const machine = new Machine(config.dataDir);
  const access = new AccessControl(stores.settings, config.isLoopback, () => late.socket?.disconnectAll());
  const vitals = (): Vitals => ({
    isStoring: group.isStoring,
    sweepAgeMs: sweep.ageMs,
    watchOk: runtime.board().watchOk,
    broker: late.link?.vitals() ?? { isUp: false, detail: 'not started', onlyCounted: 0, clients: null },
    screens: late.socket?.screens ?? 0,
    commit: group.stats,
    counters,
    machine: machine.vitals(),
    foundTopics: door.found.size,
    clockSteps: time.steps(),
  });
  const mqttUrl = (): string => late.link?.mqttUrl ?? '';
  const { desk: mapping } = door;
  const shared = { config, clock, log, stores, runtime, desk, mapping, gate, unplugged, access };
  const http = createServer(createApp(apiDeps({ ...shared, vitals, mqttUrl, webDir })));
  late.socket = new LiveSocket(http, {
    mayWatch: (request) => isOwnOrigin(request) && access.isOpen(request, Date.now()),
    snapshot: () => runtime.board(),
  });
  sweep.start();
  time.watch({ outages, gate, log, isCooking });
  machine.start();
  const linkWiring = {
    group,
    clock,
    log,
    clientId: `tongside-${clientIdOf(stores.settings)}`,
    understand: door.understand,
    heard: door.heard,
    refused: door.refused,
    filters: door.book.filters,
    cap: new SensorCap(stores.readings.sensors().map(({ id }) => id)),
    memory: {
      read: () => stores.settings.get('broker-session'),
      write: (text: string) => stores.settings.set('broker-session', text),
    },
    onOutage: outages.add.bind(outages),
  };
  return { late, http, group, outages, sweep, time, machine, linkWiring };
}

function newestMs({ readings }: Stores): number | null {
  const times = readings.sensors().flatMap(({ last }) => last?.atMs ?? []);
  return times.length === 0 ? null : Math.max(...times);
}

/** What is noted of everything that comes in. */
function ledgers(stores: Stores, { time, log }: { time: Timekeeping; log: Log }) {
  const counters = new Counters();
  const countedOutages = {
    between: (fromMs: number, toMs: number) => stores.outages.between(fromMs, toMs),
    add: (outage: Parameters<typeof stores.outages.add>[0]) => {
      stores.outages.add(outage);
      counters.outage(outage);
    },
  };
  return {
    counters,
    unplugged: new UnpluggedChannels(),
    outages: new OutageKeeper(countedOutages, log),
    desk: new ProbeDesk({ ...stores, book: stores.readings.probes, clock: time.clock, newId }),
  };
}

function stopOf(
  stores: Stores,
  { late, http, group, outages, sweep, time, machine }: ReturnType<typeof wire>,
) {
  let stopping: Promise<void> | null = null;
  return (): Promise<void> => {
    stopping ??= (async () => {
      http.closeAllConnections();
      group.flush(); // before the link goes: what it holds back must not be acknowledged unstored
      await within(STOP_WITHIN_MS, late.link?.stop());
      group.flush();
      sweep.stop();
      outages.end(time.clock.nowMs());
      time.stop();
      machine.stop();
      const closing = late.socket?.stop();
      http.closeAllConnections();
      await within(STOP_WITHIN_MS, closing);
      stores.close();
    })();
    return stopping;
  };
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

async function listen(http: HttpServer, config: Config, log: Log): Promise<number> {
  await new Promise<void>((resolve, reject) => {
    const refused = (error: NodeJS.ErrnoException): void =>
      reject(portRefused('TONGSIDE_HTTP_PORT', config.httpPort, error));
    http.once('error', refused);
    http.listen(config.httpPort, config.bind, () => {
      http.off('error', refused);
      http.on('error', (err) => log.error({ err }, 'HTTP'));
      resolve();
    });
  });
  const address: AddressInfo | string | null = http.address();
  return address === null || typeof address === 'string' ? config.httpPort : address.port;
}
