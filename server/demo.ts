import { spawn, type ChildProcess } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { parseArgs } from 'node:util';
import * as z from 'zod/mini';

const USAGE_ERROR = 2;
const USUAL_HTTP_PORT = 8080;
const GRACE_MS = 8_000;
const MS_PER_S = 1_000;

const OptionsSchema = z.object({
  speed: z._default(z.coerce.number().check(z.gt(0), z.lte(120)), 1),
  scenario: z._default(z.string(), 'harvest-supper'),
  seed: z._default(z.coerce.number().check(z.int(), z.gte(0)), 7),
  'exit-after': z.optional(z.coerce.number().check(z.gt(0), z.lte(86_400))),
  /** Passed on to the simulator as they are. */
  start: z.optional(z.string()),
  patience: z.optional(z.string()),
});
type Options = z.infer<typeof OptionsSchema>;
const ReadySchema = z.object({ ready: z.literal(true), httpUrl: z.string(), mqttUrl: z.string() });
type Ready = z.infer<typeof ReadySchema>;

function readOptions(): Options {
  const string = { type: 'string' } as const;
  const { values } = parseArgs({
    options: {
      speed: string,
      scenario: string,
      seed: string,
      'exit-after': string,
      start: string,
      patience: string,
    },
  });
  const parsed = OptionsSchema.safeParse(values);
  if (parsed.success) return parsed.data;
  throw new TypeError(
    parsed.error.issues.map((issue) => `--${issue.path.join('.')}: ${issue.message}`).join('\n'),
  );
}

async function isFree(port: number): Promise<boolean> {
  const probe = createServer();
  const free = await new Promise<boolean>((resolve) => {
    probe.once('error', () => resolve(false));
    probe.listen(port, '127.0.0.1', () => resolve(true));
  });
  if (free) await new Promise((resolve) => probe.close(resolve));
  return free;
}

/**
 * The whole of Tongside on invented data: the server on a throw-away folder, and the simulator at its MQTT door. Two
 * processes, as in real use: the server is started again when it is killed, on the same data and the same address.
 */
class Demo {
  private readonly options: Options;
  private readonly dataDir = mkdtempSync(join(tmpdir(), 'tongside-demo-'));
  private readonly realMs = Date.now();
  private readonly children = new Set<ChildProcess>();
  private ports = { http: '0', mqtt: '0' };
  private simulatorStarted = false;
  private ending = false;

  constructor(options: Options) {
    this.options = options;
  }

  async start(): Promise<void> {
    const { env } = process;
    const usual = (await isFree(USUAL_HTTP_PORT)) ? String(USUAL_HTTP_PORT) : '0';
    this.ports = { http: env['TONGSIDE_HTTP_PORT'] ?? usual, mqtt: env['TONGSIDE_MQTT_PORT'] ?? '0' };
    process.once('SIGTERM', () => void this.end(0));
    process.once('SIGINT', () => void this.end(0));
    const after = this.options['exit-after'];
    if (after !== undefined) setTimeout(() => void this.end(0), after * MS_PER_S);
    this.startServer();
  }

  private startServer(): void {
    const env = { ...process.env };
    delete env['TONGSIDE_BROKER_URL']; // invented readings never go to a real broker
    const child = this.spawn('server/main.js', [], {
      ...env,
      TONGSIDE_DATA_DIR: this.dataDir,
      TONGSIDE_HTTP_PORT: this.ports.http,
      TONGSIDE_MQTT_PORT: this.ports.mqtt,
      TONGSIDE_LOG_LEVEL: process.env['TONGSIDE_LOG_LEVEL'] ?? 'warn',
      TONGSIDE_DEMO_CLOCK: `${this.realMs},${this.realMs},${this.options.speed}`,
    });
    if (child.stdout) createInterface(child.stdout).on('line', (line) => this.heard(line));
    child.once('exit', (code, signal) => {
      this.children.delete(child);
      if (this.ending) return;
      if (signal === null) {
        process.stderr.write(`The server ended by itself (exit code ${code ?? 'none'}).\n`);
        void this.end(1);
        return;
      }
      process.stderr.write(`The server was ended by ${signal}; it is started again on the same data.\n`);
      this.startServer();
    });
  }

  private heard(line: string): void {
    const ready = ReadySchema.parse(JSON.parse(line));
    this.ports = { http: new URL(ready.httpUrl).port, mqtt: new URL(ready.mqttUrl).port };
    if (this.simulatorStarted) return;
    this.simulatorStarted = true;
    this.startSimulator(ready);
    process.stdout.write(`Tongside demo, invented data. Open ${ready.httpUrl}\n`);
  }

  private startSimulator({ httpUrl, mqttUrl }: Ready): void {
    const { speed, scenario, seed, start, patience } = this.options;
    const clock = ['--origin-real', String(this.realMs), '--origin-sim', String(this.realMs)];
    const what = ['--scenario', scenario, '--speed', String(speed), '--seed', String(seed)];
    const how = [
      ...(start === undefined ? [] : ['--start', start]),
      ...(patience === undefined ? [] : ['--patience', patience]),
    ];
    const args = ['--broker', mqttUrl, '--http', httpUrl, ...what, ...how, ...clock];
    const child = this.spawn('simulator/main.js', args, process.env);
    child.once('exit', (code, signal) => {
      this.children.delete(child);
      if (this.ending || code === 0) return;
      process.stderr.write(`The simulator failed (${signal ?? `exit code ${code ?? 'none'}`}).\n`);
      void this.end(code ?? 1);
    });
  }

  private spawn(script: string, args: string[], env: NodeJS.ProcessEnv): ChildProcess {
    const path = join(import.meta.dirname, '..', script);
    const child = spawn(process.execPath, [path, ...args], { env, stdio: ['ignore', 'pipe', 'inherit'] });
    this.children.add(child);
    return child;
  }

  private async end(code: number): Promise<void> {
    if (this.ending) return;
    this.ending = true;
    const ended = [...this.children].map((child) => new Promise((resolve) => child.once('exit', resolve)));
    for (const child of this.children) child.kill('SIGTERM');
    const grace = setTimeout(() => this.children.forEach((child) => child.kill('SIGKILL')), GRACE_MS);
    await Promise.all(ended);
    clearTimeout(grace);
    rmSync(this.dataDir, { recursive: true, force: true });
    process.exit(code);
  }
}

try {
  await new Demo(readOptions()).start();
} catch (error: unknown) {
  process.stderr.write(
    `The demo was not started.\n${error instanceof Error ? error.message : String(error)}\n`,
  );
  process.exitCode = USAGE_ERROR;
}
