import { spawn, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { onTestFinished } from 'vitest';

const DEMO = join(import.meta.dirname, '..', '..', 'dist', 'server', 'demo.js');

/** The real demonstration, server and simulator, as `npm run demo` starts it; gone when the test is over. */
export async function runDemo(args: readonly string[]): Promise<{ url: string; child: ChildProcess }> {
  const child = spawn(process.execPath, [DEMO, ...args], {
    env: { PATH: process.env['PATH'], TONGSIDE_HTTP_PORT: '0', TONGSIDE_LOG_LEVEL: 'error', TZ: 'UTC' },
    stdio: ['ignore', 'pipe', 'ignore'],
  });
  const output = child.stdout;
  onTestFinished(async () => {
    if (child.exitCode !== null) return;
    const gone = once(child, 'exit');
    child.kill('SIGTERM');
    await gone;
  });
  const [line] = (await once(createInterface(output), 'line')) as [string];
  const url = /http:\/\/\S+/.exec(line)?.[0];
  if (!url) throw new Error(`no address in "${line}"`);
  return { url, child };
}
