import Database from 'better-sqlite3';
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { isLocked } from './faults.ts';
import { FolderRefused } from './refusals.ts';

const LOCK_NAME = 'tongside.lock';

/**
 * Says that this process has the data folder, until `release` or until it is gone, however it ends. The lock is SQLite's
 * own on an empty file beside the database: it works where the database is damaged, and the system drops it with the
 * process (a file with a process id in it would outlive a kill).
 *
 * @throws FolderRefused when another process has it
 */
export function lockFolder(dataDir: string): { release: () => void } {
  mkdirSync(dataDir, { recursive: true });
  const lock = new Database(join(dataDir, LOCK_NAME), { timeout: 0 });
  try {
    lock.exec('BEGIN EXCLUSIVE');
  } catch (error: unknown) {
    lock.close();
    if (isLocked(error))
      throw new FolderRefused(`${dataDir} is in use by a running Tongside`, { cause: error });
    throw error;
  }
  return {
    release: () => {
      lock.close();
    },
  };
}
