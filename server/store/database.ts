import { existsSync, mkdirSync, rmSync, statSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { asRefusal } from './faults.ts';
import { inspect } from './inspect.ts';
import { MIGRATIONS, type Migration } from './migrations.ts';
import { FolderRefused } from './refusals.ts';

export type Db = Database.Database;

export const FILE_NAME = 'tongside.db';
/** Beside the database while a backup is being put in its place. */
export const RESTORING_NAME = 'tongside.db.restoring';
/** At the start there is time to wait for another process that holds the file, ms. */
const PATIENCE_AT_START_MS = 5_000;
/** Later the whole server stands still while a write waits; a group that fails is tried again, ms. */
const BUSY_TIMEOUT_MS = 100;
/** The log grows while somebody reads for long; afterwards it is cut back to this. */
const LOG_KEPT_BYTES = 8 * 1024 * 1024;

function migrate(db: Db, migrations: readonly Migration[]): void {
  const version = Number(db.pragma('user_version', { simple: true }));
  const newest = migrations.at(-1)?.version ?? 0;
  if (version > newest) {
    throw new FolderRefused(
      `the data folder was written by a newer Tongside (schema ${version}, this one knows ${newest})`,
    );
  }
  for (const migration of migrations.filter((m) => m.version > version)) {
    db.transaction(() => {
      db.exec(migration.sql);
      db.pragma(`user_version = ${migration.version}`);
    })();
  }
}

/**
 * Opens the one database file of a data folder and brings its schema up to date.
 * `synchronous=FULL` is set because the driver is compiled with NORMAL in WAL mode, which may lose the last
 * commits at a power cut: an acknowledged reading must be on disk.
 *
 * @throws FolderRefused when the file is damaged, foreign, newer or held by another program; it is then as it was
 */
export function openDatabase(dataDir: string, migrations = MIGRATIONS): Db {
  mkdirSync(dataDir, { recursive: true });
  const path = join(dataDir, FILE_NAME);
  const isNew = !existsSync(path);
  if (!isNew) inspect(path);
  else if (existsSync(join(dataDir, RESTORING_NAME)))
    throw new FolderRefused(`${dataDir}: a restore was not finished. Run npm run restore again`);
  const db = openFile(path);
  try {
    db.pragma('journal_mode = WAL');
    db.pragma('synchronous = FULL');
    db.pragma('foreign_keys = ON');
    db.pragma('temp_store = MEMORY');
    db.pragma(`journal_size_limit = ${LOG_KEPT_BYTES}`);
    migrate(db, migrations);
    db.pragma(`busy_timeout = ${BUSY_TIMEOUT_MS}`);
  } catch (error: unknown) {
    db.close();
    if (isNew && statSync(path).size === 0) rmSync(path); // of this very call: an empty file is refused at the next start
    throw asRefusal(path, error);
  }
  return db;
}

function openFile(path: string): Db {
  try {
    return new Database(path, { timeout: PATIENCE_AT_START_MS });
  } catch (error: unknown) {
    throw asRefusal(path, error);
  }
}
