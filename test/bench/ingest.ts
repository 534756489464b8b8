import { join } from 'node:path';
import Database from 'better-sqlite3';
import * as z from 'zod/mini';
import { Child } from './child.ts';
import type { Figure } from './figure.ts';
import { Published, Reached, Started } from './messages.ts';
import { cpuSecondsOf } from './mono.ts';
import { startMosquitto } from './mosquitto.ts';
import { inScope, type Scope } from './scope.ts';
import { median, spreadOf } from './stats.ts';
import { Tongside } from './tongside.ts';

/** Everything is compiled and every sensor is known before the clock starts. */
const WARM_UP = 30_000;
const MESSAGES = 200_000;
const ROUNDS = 5;
/** Unacknowledged messages of each of the 50 connections. */
const WINDOW = 100;
const WITHIN_MS = 120_000;
const MS_PER_S = 1_000;
const US_PER_S = 1e6;

const CELLS = [
  'nobody listens',
  'does nothing',
  'server',
  'embedded, does nothing',
  'embedded server',
] as const;
type CellName = (typeof CELLS)[number];

/** Whoever takes the messages. */
type Taker = {
  port: number;
  pid: number;
  /** Waits until so many have been taken; null when only the publisher's acknowledgements tell. */
  reach: ((messages: number) => Promise<{ messages: number; atMs: number }>) | null;
  /** Afterwards: throws when one was lost or taken for something else. */
  check: (messages: number) => Promise<void>;
};

async function counter(scope: Scope, program: URL, port: number): Promise<Taker> {
  const child = new Child(scope, program);
  const started = await child.ask(Started, { do: 'start', port });
  const reach = (messages: number): Promise<{ messages: number; atMs: number }> =>
    child.ask(Reached, { do: 'reach', messages, withinMs: WITHIN_MS });
  const check = async (messages: number): Promise<void> => {
    const { messages: taken } = await reach(messages);
    if (taken !== messages) throw new Error(`${program.pathname}: ${taken} of ${messages} messages`);
  };
  return { port: started.port, pid: child.pid, reach, check };
}

function rowsIn(dataDir: string): number {
  const db = new Database(join(dataDir, 'tongside.db'), { readonly: true });
  const row = db.prepare<[], { n: number }>('SELECT count(*) AS n FROM reading').get();
  db.close();
  return row?.n ?? 0;
}

async function server(scope: Scope, brokerPort: number | null): Promise<Taker> {
  const tongside = await Tongside.start(scope, brokerPort);
  return {
    port: brokerPort ?? tongside.mqttPort,
    pid: tongside.pid,
    reach: (messages) => tongside.reach(messages, WITHIN_MS),
    check: async (messages) => {
      const { stored, duplicates, rejected } = await tongside.counts();
      await tongside.stop();
      const rows = rowsIn(tongside.dataDir);
      if (stored !== messages || duplicates + rejected !== 0 || rows !== messages)
        throw new Error(`sent ${messages}: ${JSON.stringify({ stored, duplicates, rejected, rows })}`);
    },
  };
}

async function takerOf(cell: CellName, scope: Scope): Promise<Taker> {
  switch (cell) {
    case 'nobody listens': {
      const port = await startMosquitto(scope);
      return { port, pid: Number.NaN, reach: null, check: () => Promise.resolve() };
    }
    case 'does nothing':
      return counter(scope, new URL('./subscriber.ts', import.meta.url), await startMosquitto(scope));
    case 'server':
      return server(scope, await startMosquitto(scope));
    case 'embedded, does nothing':
      return counter(scope, new URL('./bare-broker.ts', import.meta.url), 0);
    case 'embedded server':
      return server(scope, null);
  }
}

type Outcome = { perS: number; cpuUs: number };

/** One flood, from the first byte sent until the last message is stored, or done with. */
async function runCell(cell: CellName): Promise<Outcome> {
  return inScope(async (scope) => {
    const taker = await takerOf(cell, scope);
    const publisher = new Child(scope, new URL('./publisher.ts', import.meta.url));
    await publisher.ask(z.null(), { do: 'connect', port: taker.port, window: WINDOW });
    await publisher.ask(Published, { do: 'flood', messages: WARM_UP });
    await taker.reach?.(WARM_UP);
    const cpuBeforeS = cpuSecondsOf(taker.pid);
    const [flood, end] = await Promise.all([
      publisher.ask(Published, { do: 'flood', messages: MESSAGES }),
      taker.reach?.(WARM_UP + MESSAGES),
    ]);
    const cpuS = cpuSecondsOf(taker.pid) - cpuBeforeS;
    if (flood.acked !== MESSAGES) throw new Error(`${cell}: ${flood.acked} of ${MESSAGES} acknowledged`);
    await taker.check(WARM_UP + MESSAGES);
    const isEmbedded = cell === 'embedded, does nothing' || cell === 'embedded server';
    // the embedded broker's acknowledgement is the word that a reading is stored; with mosquitto the taker must say so
    const endMs = isEmbedded || !end ? flood.lastAckMs : end.atMs;
    return { perS: (MESSAGES * MS_PER_S) / (endMs - flood.firstMs), cpuUs: (cpuS * US_PER_S) / MESSAGES };
  });
}

/** Durable ingest against doing nothing, on the same broker, cell after cell, several rounds. */
export async function measureIngest(): Promise<Figure[]> {
  const rounds: Record<CellName, Outcome>[] = [];
  for (let round = 0; round < ROUNDS; round += 1) {
    const outcome: Partial<Record<CellName, Outcome>> = {};
    for (const cell of CELLS) outcome[cell] = await runCell(cell);
    rounds.push(wholeRound(outcome));
  }
  const ratio = (name: string, cell: CellName, to: CellName): Figure => {
    const ratios = rounds.map((r) => r[cell].perS / r[to].perS);
    return { part: 'ingest', name, of: '', value: median(ratios), unit: '', spread: spreadOf(ratios) };
  };
  const rates = CELLS.map((cell): Figure => {
    const perS = rounds.map((r) => r[cell].perS);
    const cpuUs = median(rounds.map((r) => r[cell].cpuUs));
    const beside = Number.isNaN(cpuUs) ? {} : { beside: { what: 'us of processor a message', value: cpuUs } };
    return {
      part: 'ingest',
      name: 'rate',
      of: cell,
      value: median(perS),
      unit: '/s',
      spread: spreadOf(perS),
      ...beside,
    };
  });
  return [
    ...rates,
    ratio('ratio with mosquitto', 'server', 'does nothing'),
    ratio('ratio embedded', 'embedded server', 'does nothing'),
    ratio('ratio embedded, to its library alone', 'embedded server', 'embedded, does nothing'),
  ];
}

function wholeRound(outcome: Partial<Record<CellName, Outcome>>): Record<CellName, Outcome> {
  const of = (cell: CellName): Outcome => outcome[cell] ?? { perS: Number.NaN, cpuUs: Number.NaN };
  return {
    'nobody listens': of('nobody listens'),
    'does nothing': of('does nothing'),
    server: of('server'),
    'embedded, does nothing': of('embedded, does nothing'),
    'embedded server': of('embedded server'),
  };
}
