import { execFileSync, spawnSync } from 'node:child_process';
import { closeSync, cpSync, openSync, rmSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import { tempDir } from './temp-dir.ts';

/** A disk that can be filled and freed again while a server runs on it. */
export type SmallDisk = {
  how: 'mounted' | 'mounted in a namespace of its own' | 'a limit on the size of files';
  /** The data folder, as the server sees it. */
  dir: string;
  /** What the server is to be started under. */
  under: string[];
  /** Where this process can read what is in it now. */
  look(pid: number): string;
  fill(pid: number): void;
  free(pid: number): void;
};

const FILLER = 'filler';
const FILL_STEP_BYTES = 65_536;
/** So little room that the log of the database fills it within seconds, bytes. */
const LIMIT_BYTES = 1_200_000;

function succeeds(command: string, args: string[]): boolean {
  return spawnSync(command, args, { stdio: 'ignore' }).status === 0;
}

function fillUp(dir: string): void {
  const file = openSync(join(dir, FILLER), 'w');
  const bytes = Buffer.alloc(FILL_STEP_BYTES, 1);
  let step = FILL_STEP_BYTES;
  while (step >= 1) {
    try {
      writeSync(file, bytes, 0, step);
    } catch (error: unknown) {
      if (!(error instanceof Error && 'code' in error && error.code === 'ENOSPC')) throw error;
      step = Math.floor(step / 2);
    }
  }
  closeSync(file);
}
/** SQLite looks for the real path behind /proc/PID/root, which is not the server's: so a copy, while the server stands still. */
function copyOf(dir: string, pid: number): string {
  const copy = tempDir();
  process.kill(pid, 'SIGSTOP');
  try {
    for (const name of ['tongside.db', 'tongside.db-wal']) cpSync(join(dir, name), join(copy, name));
  } finally {
    process.kill(pid, 'SIGCONT');
  }
  return copy;
}
const emptyOut = (dir: string): void => rmSync(join(dir, FILLER));

function mounted(sizeMb: number): SmallDisk | null {
  const dir = tempDir();
  if (!succeeds('mount', ['-t', 'tmpfs', '-o', `size=${sizeMb}m`, 'tongside-test', dir])) return null;
  onTestFinished(() => void execFileSync('umount', ['--lazy', dir]));
  return {
    how: 'mounted',
    dir,
    under: [],
    look: () => dir,
    fill: () => fillUp(dir),
    free: () => emptyOut(dir),
  };
}

function inNamespace(sizeMb: number): SmallDisk | null {
  if (!succeeds('unshare', ['-rm', 'sh', '-c', 'mount -t tmpfs -o size=1m tongside-test /mnt'])) return null;
  const dir = tempDir();
  const script = `mount -t tmpfs -o size=${sizeMb}m tongside-test "$0" && exec "$@"`;
  const seenFrom = (pid: number): string => `/proc/${pid}/root${dir}`;
  return {
    how: 'mounted in a namespace of its own',
    dir,
    under: ['unshare', '-rm', 'sh', '-c', script, dir],
    look: (pid) => copyOf(seenFrom(pid), pid),
    fill: (pid) => fillUp(seenFrom(pid)),
    free: (pid) => emptyOut(seenFrom(pid)),
  };
}

function limited(): SmallDisk | null {
  if (!succeeds('prlimit', ['--fsize=1000000:unlimited', 'true'])) return null;
  const dir = tempDir();
  const set = (pid: number, limit: string): void =>
    void execFileSync('prlimit', ['--pid', String(pid), `--fsize=${limit}:unlimited`]);
  return {
    how: 'a limit on the size of files',
    dir,
    under: [],
    look: () => dir,
    fill: (pid) => set(pid, String(LIMIT_BYTES)),
    free: (pid) => set(pid, 'unlimited'),
  };
}

/** The best that this machine allows; it is an error when it allows none, so that nothing is left out in silence. */
export function smallDisk(sizeMb: number): SmallDisk {
  const disk = mounted(sizeMb) ?? inNamespace(sizeMb) ?? limited();
  if (!disk) throw new Error('a full disk cannot be made here: it needs mount, unshare or prlimit (Linux)');
  process.stderr.write(`\n*** the small disk is ${disk.how} ***\n`);
  return disk;
}
