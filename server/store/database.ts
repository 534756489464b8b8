import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { MIGRATIONS, type Migration } from './migrations.ts';

export type Db = Database.Database;

const FILE_NAME = 'tongside.db';
/** How long a write waits for another process that holds the file, ms. */
const BUSY_TIMEOUT_MS = 5_000;

function migrate(db: Db, migrations: readonly Migration[]): void {
  const version = Number(db.pragma('user_version', { simple: true }));
  const newest = migrations.at(-1)?.version ?? 0;
  if (version > newest) {
    throw new RangeError(
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
 */
export function openDatabase(dataDir: string, migrations = MIGRATIONS): Db {
  mkdirSync(dataDir, { recursive: true });
  const db = new Database(join(dataDir, FILE_NAME));
  db.pragma('journal_mode = WAL');
  db.pragma('synchronous = FULL');
  db.pragma('foreign_keys = ON');
  db.pragma(`busy_timeout = ${BUSY_TIMEOUT_MS}`);
  migrate(db, migrations);
  return db;
}
