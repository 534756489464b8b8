import { connect, createServer, type AddressInfo, type Socket } from 'node:net';
import * as z from 'zod/mini';
import { floodCenti, FloodClient } from './flood-client.ts';

/**
 * A flood of readings from a process of its own, so that the loop of the test is not the limit. Half of the sensors
 * send numbers with a time, half send bare numbers. Every message of a sensor has another value, so that each
 * can be found again in the store. Started by flooding.ts.
 */
const PACE_MS = 5;
const KILL_WITHIN_MS = 5_000;
/** A server that has not acknowledged for so long is not busy, whatever is under way. */
const STILL_ALIVE_MS = 500;

const OptionsSchema = z.strictObject({
  port: z.number(),
  /** Stand between the server and this broker and watch its acknowledgements pass; null with the embedded broker. */
  watchPort: z.nullable(z.number()),
  clients: z.number(),
  sensorsPerClient: z.number(),
  perSecond: z.number(),
});
const OrderSchema = z.discriminatedUnion('order', [
  z.strictObject({ order: z.literal('kill'), pid: z.number(), afterMs: z.number(), busyMs: z.number() }),
  z.strictObject({ order: z.literal('start') }),
  z.strictObject({ order: z.literal('pause') }),
  z.strictObject({ order: z.literal('report') }),
  z.strictObject({ order: z.literal('end') }),
]);

type Sensor = {
  id: string;
  client: FloodClient;
  isTimed: boolean;
  sent: number;
  acked: number;
  lastMs: number;
};

const options = OptionsSchema.parse(JSON.parse(process.argv[2] ?? ''));
const sensors: Sensor[] = [];
const clients = Array.from(
  { length: options.clients },
  (_, i) => new FloodClient(options.port, `flood-${i}`),
);
for (const [i, client] of clients.entries()) {
  for (let k = 0; k < options.sensorsPerClient; k += 1) {
    const isTimed = k % 2 === 0;
    const id = `flood-${i}-${k}-${isTimed ? 'timed' : 'bare'}`;
    sensors.push({ id, client, isTimed, sent: 0, acked: 0, lastMs: 0 });
  }
}

let offered = 0;
let turn = 0;
let startMono = 0;
let runningMs = 0;
let timer: NodeJS.Timeout | null = null;
/** When the server last wrote to the broker: acknowledgements, as it sends nothing else in a flood. And the broker to it. */
let serverWroteMono = -Infinity;
let brokerWroteMono = -Infinity;

function offerOne(): void {
  const sensor = sensors[turn];
  if (!sensor) throw new Error('no sensors');
  turn = (turn + 1) % sensors.length;
  const value = (floodCenti(sensor.sent) / 100).toFixed(2);
  sensor.sent += 1;
  sensor.lastMs = Math.max(Date.now(), sensor.lastMs + 1);
  const payload = sensor.isTimed ? `{"value":${value},"time":${sensor.lastMs}}` : value;
  sensor.client.offer(`tongside/reading/${sensor.id}`, payload, () => (sensor.acked += 1));
  offered += 1;
}

function pace(): void {
  runningMs = performance.now() - startMono;
  const due = Math.floor((runningMs / 1_000) * options.perSecond);
  while (offered < due) offerOne();
  for (const client of clients) client.pump();
}

type Moment = {
  inFlight: number;
  ackedAgoMs: number;
  serverWroteAgoMs: number | null;
  serverOwes: boolean;
};
function moment(): Moment {
  const now = performance.now();
  return {
    serverOwes: brokerWroteMono > serverWroteMono,
    inFlight: clients.reduce((sum, client) => sum + client.inFlight, 0),
    ackedAgoMs: now - Math.max(...clients.map((client) => client.ackedMono)),
    serverWroteAgoMs: options.watchPort === null ? null : now - serverWroteMono,
  };
}

/**
 * Kills at the first busy moment after a while, and says what was under way at that instant. Busy: the server has just
 * acknowledged something, or is working and has not acknowledged all that it got.
 */
function kill({ pid, afterMs, busyMs }: { pid: number; afterMs: number; busyMs: number }): void {
  const giveUpMono = performance.now() + afterMs + KILL_WITHIN_MS;
  const look = (): void => {
    const now = moment();
    const acknowledged = now.serverWroteAgoMs ?? now.ackedAgoMs;
    const owes = now.serverWroteAgoMs === null ? now.inFlight > 0 : now.serverOwes;
    const busy = acknowledged <= busyMs || (owes && acknowledged <= STILL_ALIVE_MS);
    if (!busy && performance.now() < giveUpMono) {
      setImmediate(look);
      return;
    }
    process.kill(pid, 'SIGKILL');
    process.send?.({ said: 'killed', busy, ...now });
  };
  setTimeout(look, afterMs);
}

function report(): void {
  process.send?.({
    said: 'report',
    offered,
    runningMs,
    resent: clients.reduce((sum, client) => sum + client.resent, 0),
    sensors: sensors.map(({ id, sent, acked }) => ({ id, sent, acked })),
  });
}

process.on('message', (message: unknown) => {
  const given = OrderSchema.parse(message);
  switch (given.order) {
    case 'start':
      startMono = performance.now();
      timer = setInterval(pace, PACE_MS);
      return;
    case 'kill':
      kill(given);
      return;
    case 'pause':
      if (timer) clearInterval(timer);
      timer = setInterval(() => clients.forEach((client) => client.pump()), PACE_MS);
      report();
      return;
    case 'report':
      report();
      return;
    case 'end':
      process.exit(0);
  }
});
process.on('disconnect', () => process.exit(0));

/** Passes everything on both ways and notes when the server spoke. */
function watch(brokerPort: number): void {
  const server = createServer((fromServer: Socket) => {
    const toBroker = connect(brokerPort, '127.0.0.1');
    fromServer.setNoDelay(true);
    toBroker.setNoDelay(true);
    fromServer.on('data', () => (serverWroteMono = performance.now()));
    fromServer.pipe(toBroker);
    toBroker.on('data', () => (brokerWroteMono = performance.now()));
    toBroker.pipe(fromServer);
    for (const [one, other] of [
      [fromServer, toBroker],
      [toBroker, fromServer],
    ] as const) {
      one.on('error', () => undefined); // the server is being killed: 'close' follows
      one.on('close', () => other.destroy());
    }
  });
  server.listen(0, '127.0.0.1', () => {
    const address: AddressInfo | string | null = server.address();
    if (address === null || typeof address === 'string') throw new Error('no port');
    process.send?.({ said: 'ready', watchedPort: address.port });
  });
}

if (options.watchPort === null) process.send?.({ said: 'ready', watchedPort: null });
else watch(options.watchPort);
