import Database from 'better-sqlite3';
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { asRefusal, isLocked } from './faults.ts';
import { FolderRefused } from './refusals.ts';

const LOCK_NAME = 'tongside.lock';

/**
 * Says that this process has the data folder, until `release` or until it is gone, however it ends. The lock is SQLite's
 * own on an empty file beside the database: it works where the database is damaged, and the system drops it with the
 * process (a file with a process id in it would outlive a kill).
 *
 * @throws FolderRefused when another process has it, or it cannot be had
 */
export function lockFolder(dataDir: string): { release: () => void } {
  const path = join(dataDir, LOCK_NAME);
  let lock: Database.Database | null = null;
  try {
    mkdirSync(dataDir, { recursive: true });
    lock = new Database(path, { timeout: 0 });
    lock.pragma('journal_mode = MEMORY'); // nothing is ever written, so that it can be had on a full disk too
    lock.exec('BEGIN EXCLUSIVE');
    return { release: lock.close.bind(lock) };
  } catch (error: unknown) {
    lock?.close();
    if (isLocked(error))
      throw new FolderRefused(`${dataDir} is in use by a running Tongside`, { cause: error });
    throw asRefusal(path, error);
  }
}
