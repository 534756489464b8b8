import { execFileSync, spawn, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { writeFileSync } from 'node:fs';
import { connect, createServer } from 'node:net';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import { tempDir } from './temp-dir.ts';
import { until } from './until.ts';

export const hasMosquitto = isInstalled();
if (!hasMosquitto) {
  if (process.env['CI']) throw new Error('mosquitto is not installed, and CI always has it');
  process.stderr.write(
    '\n*** mosquitto is NOT installed: the tests with an external broker do NOT run ***\n\n',
  );
}

function isInstalled(): boolean {
  try {
    execFileSync('sh', ['-c', 'command -v mosquitto && command -v mosquitto_pub'], { stdio: 'ignore' });
    return true;
  } catch {
    return false; // that is the question
  }
}

async function freePort(): Promise<number> {
  const server = createServer().listen(0, '127.0.0.1');
  await once(server, 'listening');
  const address = server.address();
  server.close();
  if (address === null || typeof address === 'string') throw new Error('no port');
  return address.port;
}

function accepts(port: number): Promise<true | null> {
  return new Promise((resolve) => {
    const socket = connect(port, '127.0.0.1');
    socket.once('connect', () => {
      socket.destroy();
      resolve(true);
    });
    socket.once('error', () => resolve(null));
  });
}

/** A real mosquitto on a free port, gone when the test is over. */
export async function runMosquitto(): Promise<{ url: string; port: number; child: ChildProcess }> {
  const port = await freePort();
  const config = join(tempDir(), 'mosquitto.conf');
  const lines = [
    `listener ${port} 127.0.0.1`,
    'allow_anonymous true',
    'max_queued_messages 0',
    'max_inflight_messages 1000',
  ];
  writeFileSync(config, lines.join('\n'));
  const child = spawn('mosquitto', ['-c', config], { stdio: 'ignore' });
  onTestFinished(() => void child.kill('SIGKILL'));
  await until('mosquitto', () => accepts(port));
  return { url: `mqtt://127.0.0.1:${port}`, port, child };
}

export function mosquittoPub(port: number, topic: string, message: string): void {
  const where = ['-h', '127.0.0.1', '-p', String(port), '-q', '1', '-t', topic];
  execFileSync('mosquitto_pub', [...where, ...(message === '' ? ['-n'] : ['-m', message])]);
}
