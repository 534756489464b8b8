import { spawn, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { onTestFinished } from 'vitest';
import * as z from 'zod/mini';

const MAIN = join(import.meta.dirname, '..', '..', 'dist', 'server', 'main.js');
const ReadySchema = z.strictObject({
  ready: z.literal(true),
  httpUrl: z.string(),
  mqttUrl: z.string(),
  dataDir: z.string(),
});

export type ServerProcess = z.infer<typeof ReadySchema> & {
  child: ChildProcess;
  /** SIGKILL, and wait until it is gone. */
  kill(): Promise<void>;
  stop(): Promise<number | null>;
};
export type Env = Record<string, string>;
const QUIET: Env = {
  TONGSIDE_HTTP_PORT: '0',
  TONGSIDE_MQTT_PORT: '0',
  TONGSIDE_LOG_LEVEL: 'error',
  TONGSIDE_TIME_ZONE: 'UTC',
};

function spawnServer(env: Env, under: readonly string[] = []): ChildProcess {
  if (!existsSync(MAIN)) throw new Error('build first: npm run build');
  const [command = process.execPath, ...args]: string[] = [...under, process.execPath, MAIN];
  const child = spawn(command, args, {
    env: { PATH: process.env['PATH'], ...QUIET, ...env },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  onTestFinished(() => void child.kill('SIGKILL'));
  return child;
}

/** The real server as its own process, ready. `under`: a command that starts it in its own place (and becomes it). */
export async function runServer(env: Env, under: readonly string[] = []): Promise<ServerProcess> {
  const child = spawnServer(env, under);
  child.stderr?.pipe(process.stderr);
  if (!child.stdout) throw new Error('no stdout');
  const lines = createInterface(child.stdout);
  const line = await Promise.race([
    once(lines, 'line').then(([text]: unknown[]) => String(text)),
    once(child, 'exit').then(([code]: unknown[]) =>
      Promise.reject(new Error(`the server ended with ${String(code)}`)),
    ),
  ]);
  const ready = ReadySchema.parse(JSON.parse(line));
  const end = async (signal: 'SIGKILL' | 'SIGTERM'): Promise<number | null> => {
    if (child.exitCode !== null || child.signalCode !== null) return child.exitCode;
    const gone = once(child, 'exit');
    child.kill(signal);
    await gone;
    return child.exitCode;
  };
  return {
    ...ready,
    child,
    kill: async () => {
      await end('SIGKILL');
    },
    stop: () => end('SIGTERM'),
  };
}

/** A start that is meant to be refused: its exit code and what it said. */
export async function refusedStart(env: Env): Promise<{ code: number | null; said: string }> {
  const child = spawnServer(env);
  let said = '';
  child.stderr?.on('data', (chunk: Buffer) => (said += chunk.toString()));
  await once(child, 'exit');
  return { code: child.exitCode, said };
}
