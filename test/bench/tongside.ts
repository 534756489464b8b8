import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import * as z from 'zod/mini';
import { monoMs } from './mono.ts';
import { endProcess, waitFor, type Scope } from './scope.ts';

const ROOT = join(import.meta.dirname, '..', '..');
const MAIN = join(ROOT, 'dist', 'server', 'main.js');
const PackageSchema = z.looseObject({ scripts: z.looseObject({ start: z.string() }) });
const ReadySchema = z.looseObject({ httpUrl: z.string(), mqttUrl: z.string(), dataDir: z.string() });
const HealthSchema = z.looseObject({
  checks: z.record(z.string(), z.looseObject({ ok: z.boolean() })),
});
const ASK_EVERY_MS = 40;

/** What the server says of itself: everything it took in, by what became of it. */
export type Counts = {
  stored: number;
  duplicates: number;
  rejected: number;
  /** Of wall time since the start; NaN when the server does not tell. */
  commitS: number;
};

/** Options of Node with which `npm start` runs the server. */
function nodeOptions(): string[] {
  const { scripts } = PackageSchema.parse(JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8')));
  const [node, ...rest] = scripts.start.split(' ');
  const main = rest.pop();
  if (node !== 'node' || main !== 'dist/server/main.js')
    throw new Error(`npm start is not understood: ${scripts.start}`);
  return rest;
}

/** The real server in its own process. */
export class Tongside {
  readonly httpUrl: string;
  readonly mqttPort: number;
  readonly dataDir: string;
  readonly pid: number;
  readonly stop: () => Promise<void>;

  private constructor(ready: z.infer<typeof ReadySchema>, pid: number, stop: () => Promise<void>) {
    this.httpUrl = ready.httpUrl;
    this.mqttPort = Number(new URL(ready.mqttUrl).port);
    this.dataDir = ready.dataDir;
    this.pid = pid;
    this.stop = stop;
  }

  /** Ready, and connected to its broker. `brokerPort` null: the embedded one. */
  static async start(
    scope: Scope,
    brokerPort: number | null,
    env: Record<string, string> = {},
  ): Promise<Tongside> {
    if (!existsSync(MAIN)) throw new Error('build first: npm run build');
    const child = spawn(process.execPath, [...nodeOptions(), MAIN], {
      env: {
        PATH: process.env['PATH'],
        TONGSIDE_HTTP_PORT: '0',
        TONGSIDE_MQTT_PORT: '0',
        TONGSIDE_LOG_LEVEL: 'warn',
        TONGSIDE_TIME_ZONE: 'UTC',
        TONGSIDE_DATA_DIR: scope.tempDir(),
        ...(brokerPort === null ? {} : { TONGSIDE_BROKER_URL: `mqtt://127.0.0.1:${brokerPort}` }),
        ...env,
      },
      stdio: ['ignore', 'pipe', 'inherit'],
    });
    scope.adopt(child);
    const gone = once(child, 'exit').then(() => Promise.reject(new Error('the server ended')));
    gone.catch(() => undefined); // it also ends in good order, long after it was ready
    const line = once(createInterface(child.stdout), 'line').then(([text]: unknown[]) => String(text));
    const ready = ReadySchema.parse(JSON.parse(await Promise.race([line, gone])));
    const server = new Tongside(ready, child.pid ?? Number.NaN, () => endProcess(child, 'SIGTERM'));
    await waitFor('the link to the broker', async () => {
      const health = HealthSchema.parse(await (await fetch(`${server.httpUrl}/api/health`)).json());
      return health.checks['broker']?.ok === true ? true : null;
    });
    return server;
  }

  async counts(): Promise<Counts> {
    const text = await (await fetch(`${this.httpUrl}/metrics`)).text();
    const sum = (name: string): number =>
      [...text.matchAll(new RegExp(`^${name}(?:\\{[^}]*\\})? (\\S+)$`, 'gm'))].reduce(
        (s, m) => s + Number(m[1]),
        0,
      );
    return {
      stored: sum('tongside_readings_accepted_total'),
      duplicates: sum('tongside_readings_duplicate_total'),
      rejected: sum('tongside_payloads_rejected_total'),
      commitS: text.includes('\ntongside_commit_seconds_total ')
        ? sum('tongside_commit_seconds_total')
        : Number.NaN,
    };
  }

  /** Waits until so many are stored, or until nothing more comes; the moment is up to one question late. */
  async reach(stored: number, withinMs: number): Promise<{ messages: number; atMs: number }> {
    const endMs = monoMs() + withinMs;
    for (;;) {
      const { stored: now } = await this.counts();
      const atMs = monoMs();
      if (now >= stored || atMs > endMs) return { messages: now, atMs };
      await new Promise((resolve) => setTimeout(resolve, ASK_EVERY_MS));
    }
  }

  /** POST with JSON; answers with the id of what was made. */
  async make(path: string, body: unknown): Promise<string> {
    const response = await fetch(`${this.httpUrl}${path}`, {
      method: 'POST',
      headers: { 'Content-Type': 'application/json' },
      body: JSON.stringify(body),
    });
    if (!response.ok) throw new Error(`${path}: ${response.status} ${await response.text()}`);
    return z.looseObject({ id: z.string() }).parse(await response.json()).id;
  }
}
