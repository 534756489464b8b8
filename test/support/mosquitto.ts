import { execFileSync, spawn, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import { accepts, freePort, hasCommands } from './machine.ts';
import { tempDir } from './temp-dir.ts';
import { until } from './until.ts';

export const hasMosquitto = hasCommands('mosquitto', 'mosquitto_pub');
if (!hasMosquitto) {
  if (process.env['CI']) throw new Error('mosquitto is not installed, and CI always has it');
  process.stderr.write(
    '\n*** mosquitto is NOT installed: the tests with an external broker do NOT run ***\n\n',
  );
}

export type MosquittoOptions = {
  /** `kept`: sessions and messages survive a restart, saved every few seconds. */
  memory?: 'kept' | 'lost';
  allowAnonymous?: boolean;
};
export type Mosquitto = {
  url: string;
  port: number;
  child: ChildProcess;
  /** Ends it, and waits until it is gone. */
  end(signal: 'SIGTERM' | 'SIGKILL'): Promise<void>;
  /** Waits until what it knows now is on disk; only with a memory that is kept. */
  saved(): Promise<void>;
  /** Starts it again on the same port with the same folder. */
  startAgain(options?: MosquittoOptions): Promise<void>;
};

function configOf(
  port: number,
  dir: string,
  { memory = 'lost', allowAnonymous = true }: MosquittoOptions,
): string {
  const kept = [
    'persistence true',
    `persistence_location ${dir}/`,
    'autosave_interval 1',
    // started by root it would become another user, who may not write here
    ...(process.getuid?.() === 0 ? ['user root'] : []),
  ];
  return [
    `listener ${port} 127.0.0.1`,
    `allow_anonymous ${String(allowAnonymous)}`,
    'max_queued_messages 0',
    'max_inflight_messages 1000',
    ...(memory === 'kept' ? kept : []),
  ].join('\n');
}

/** A real mosquitto on a free port, gone when the test is over. */
export async function runMosquitto(options: MosquittoOptions = {}): Promise<Mosquitto> {
  const port = await freePort();
  const dir = tempDir();
  const config = join(dir, 'mosquitto.conf');
  const start = async (how: MosquittoOptions): Promise<ChildProcess> => {
    writeFileSync(config, configOf(port, dir, how));
    const child = spawn('mosquitto', ['-c', config], { stdio: 'ignore' });
    onTestFinished(() => void child.kill('SIGKILL'));
    await until('mosquitto', () => accepts(port));
    return child;
  };
  const broker: Mosquitto = {
    url: `mqtt://127.0.0.1:${port}`,
    port,
    child: await start(options),
    end: async (signal) => {
      const gone = once(broker.child, 'exit');
      broker.child.kill(signal);
      await gone;
    },
    saved: async () => {
      const nowMs = Date.now();
      const file = join(dir, 'mosquitto.db');
      await until('mosquitto to save', () =>
        existsSync(file) && statSync(file).mtimeMs > nowMs ? true : null,
      );
    },
    startAgain: async (how = options) => {
      broker.child = await start(how);
    },
  };
  return broker;
}

export function mosquittoPub(port: number, topic: string, message: string): void {
  const where = ['-h', '127.0.0.1', '-p', String(port), '-q', '1', '-t', topic];
  execFileSync('mosquitto_pub', [...where, ...(message === '' ? ['-n'] : ['-m', message])]);
}
