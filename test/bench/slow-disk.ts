import { execFileSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import * as z from 'zod/mini';
import { Child } from './child.ts';
import type { Figure } from './figure.ts';
import { Published } from './messages.ts';
import { monoMs } from './mono.ts';
import { startMosquitto } from './mosquitto.ts';
import { SENSORS } from './readings.ts';
import { inScope, type Scope } from './scope.ts';
import { Tongside } from './tongside.ts';

const FSYNC_MS = [5, 20, 50] as const;
const RATES_PER_S = [60, 1_000] as const;
const DOORS = ['mosquitto', 'embedded'] as const;
/** The pace settles at first: the group length follows the commits that were measured. */
const SETTLE_MS = 2_000;
const FOR_MS = 8_000;
const WITHIN_MS = 10_000;
const NS_PER_MS = 1e6;
const MS_PER_S = 1_000;
const WINDOW = 100;

/** Null, said loudly, where nothing can be compiled: then the share is not measured, and the bench fails. */
function compileShim(scope: Scope): string | null {
  const shim = join(scope.tempDir(), 'slow-fsync.so');
  try {
    const source = join(import.meta.dirname, 'slow-fsync.c');
    execFileSync('cc', ['-shared', '-fPIC', '-O2', '-o', shim, source, '-ldl'], {
      stdio: ['ignore', 'ignore', 'inherit'],
    });
    return shim;
  } catch {
    process.stderr.write('\n*** no C compiler, or not Linux: the slow disk is NOT measured ***\n\n');
    return null;
  }
}

type Seen = { atMs: number; fsyncMs: number; calls: number; commitS: number; stored: number };

class SlowServer {
  private readonly tongside: Tongside;
  private readonly totals: string;

  private constructor(tongside: Tongside, totals: string) {
    this.tongside = tongside;
    this.totals = totals;
  }

  static async start(
    scope: Scope,
    { shim, fsyncMs, brokerPort }: { shim: string; fsyncMs: number; brokerPort: number | null },
  ): Promise<SlowServer> {
    const totals = join(scope.tempDir(), 'fsync-total');
    writeFileSync(totals, Buffer.alloc(16));
    const env = { LD_PRELOAD: shim, BENCH_FSYNC_MS: String(fsyncMs), BENCH_FSYNC_TOTAL: totals };
    return new SlowServer(await Tongside.start(scope, brokerPort, env), totals);
  }

  get port(): number {
    return this.tongside.mqttPort;
  }

  async look(): Promise<Seen> {
    const { commitS, stored } = await this.tongside.counts();
    const bytes = readFileSync(this.totals);
    const fsyncMs = Number(bytes.readBigUInt64LE(8)) / NS_PER_MS;
    return { atMs: monoMs(), fsyncMs, calls: Number(bytes.readBigUInt64LE(0)), commitS, stored };
  }

  async allStored(count: number): Promise<void> {
    const { messages } = await this.tongside.reach(count, WITHIN_MS);
    if (messages !== count) throw new Error(`${messages} of ${count} readings stored on the slow disk`);
  }
}

/** Offers a rate and looks twice: the shim's own sum of fsync time between the looks is the loop's share. */
async function offer(
  server: SlowServer,
  publisher: Child,
  { perS, of }: { perS: number; of: string },
): Promise<{ figures: Figure[]; sent: number }> {
  const pace = publisher.ask(Published, {
    do: 'pace',
    perS,
    forMs: SETTLE_MS + FOR_MS,
    sensors: SENSORS,
    allTimed: false,
  });
  await new Promise((resolve) => setTimeout(resolve, SETTLE_MS));
  const before = await server.look();
  await new Promise((resolve) => setTimeout(resolve, FOR_MS - 2 * MS_PER_S));
  const after = await server.look();
  const { sent, acked } = await pace;
  if (acked !== sent) throw new Error(`${of}: ${acked} of ${sent} acknowledged`);
  const goneMs = after.atMs - before.atMs;
  const calls = after.calls - before.calls;
  if (calls < 1) throw new Error(`${of}: no fsync was seen, the slow disk is not in place`);
  const commitShare = ((after.commitS - before.commitS) * MS_PER_S) / goneMs;
  const beside = Number.isNaN(commitShare)
    ? {}
    : { beside: { what: 'of the time in commits, by its own account', value: commitShare } };
  const keptUp = ((after.stored - before.stored) * MS_PER_S) / goneMs / perS;
  const base = { part: 'slow-disk', of } as const;
  const figures: Figure[] = [
    { ...base, name: 'loop in fsync', value: (after.fsyncMs - before.fsyncMs) / goneMs, unit: '', ...beside },
    {
      ...base,
      name: 'rate kept up',
      value: keptUp,
      unit: '',
      beside: { what: 'fsyncs a second', value: (calls * MS_PER_S) / goneMs },
    },
  ];
  return { figures, sent };
}

async function measureDisk(shim: string, fsyncMs: number, door: (typeof DOORS)[number]): Promise<Figure[]> {
  return inScope(async (scope) => {
    const brokerPort = door === 'mosquitto' ? await startMosquitto(scope) : null;
    const server = await SlowServer.start(scope, { shim, fsyncMs, brokerPort });
    const publisher = new Child(scope, new URL('./publisher.ts', import.meta.url));
    await publisher.ask(z.null(), { do: 'connect', port: brokerPort ?? server.port, window: WINDOW });
    const figures: Figure[] = [];
    let sent = 0;
    for (const perS of RATES_PER_S) {
      const offered = await offer(server, publisher, { perS, of: `${fsyncMs} ms, ${perS}/s, ${door}` });
      figures.push(...offered.figures);
      sent += offered.sent;
    }
    await server.allStored(sent);
    return figures;
  });
}

/** The share of its time that the server's loop stands in fsync on a slow disk, and whether it keeps up. */
export async function measureSlowDisk(): Promise<Figure[]> {
  return inScope(async (scope) => {
    const shim = compileShim(scope);
    if (shim === null) return [];
    const figures: Figure[] = [];
    for (const fsyncMs of FSYNC_MS)
      for (const door of DOORS) figures.push(...(await measureDisk(shim, fsyncMs, door)));
    return figures.sort((a, b) => a.name.localeCompare(b.name));
  });
}
