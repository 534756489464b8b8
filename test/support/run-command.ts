import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import type { Env } from './run-server.ts';

export type Ran = { code: number | null; said: string; complained: string };

/** `npm run NAME -- ARGS` without npm: the built command as its own process. */
export async function runCommand(name: 'backup' | 'restore', args: string[], env: Env): Promise<Ran> {
  const file = join(import.meta.dirname, '..', '..', 'dist', 'server', `${name}.js`);
  if (!existsSync(file)) throw new Error('build first: npm run build');
  const child = spawn(process.execPath, [file, ...args], { env: { PATH: process.env['PATH'], ...env } });
  let said = '';
  let complained = '';
  child.stdout.on('data', (chunk: Buffer) => (said += chunk.toString()));
  child.stderr.on('data', (chunk: Buffer) => (complained += chunk.toString()));
  await once(child, 'close');
  return { code: child.exitCode, said, complained };
}
