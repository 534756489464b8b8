import type { ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

type Undo = () => Promise<void> | void;

/** Everything a measurement opened, closed in the opposite order when it is over, also when it failed. */
export class Scope {
  private readonly undos: Undo[] = [];

  later(undo: Undo): void {
    this.undos.push(undo);
  }

  tempDir(): string {
    const dir = mkdtempSync(join(tmpdir(), 'tongside-bench-'));
    this.later(() => rmSync(dir, { recursive: true, force: true }));
    return dir;
  }

  /** The process is killed when the scope closes, and with this program in any case. */
  adopt(child: ChildProcess): void {
    const kill = (): void => void child.kill('SIGKILL');
    process.once('exit', kill);
    child.once('exit', () => process.off('exit', kill));
    this.later(() => endProcess(child, 'SIGKILL'));
  }

  async close(): Promise<void> {
    for (let undo = this.undos.pop(); undo; undo = this.undos.pop()) await undo();
  }
}

export async function endProcess(child: ChildProcess, signal: 'SIGKILL' | 'SIGTERM'): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return;
  const gone = once(child, 'exit');
  child.kill(signal);
  await gone;
}

export async function inScope<T>(work: (scope: Scope) => Promise<T>): Promise<T> {
  const scope = new Scope();
  try {
    return await work(scope);
  } finally {
    await scope.close();
  }
}

/** Asks again until the answer is not null. */
export async function waitFor<T>(
  what: string,
  ask: () => Promise<T | null> | T | null,
  { everyMs = 40, withinMs = 60_000 } = {},
): Promise<T> {
  const endMs = performance.now() + withinMs;
  for (;;) {
    const answer = await ask();
    if (answer !== null) return answer;
    if (performance.now() > endMs) throw new Error(`waited ${withinMs} ms in vain for ${what}`);
    await pause(everyMs);
  }
}

export function pause(ms: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, ms));
}
