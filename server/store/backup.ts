import Database from 'better-sqlite3';
import { existsSync, readFileSync, renameSync, rmSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { FILE_NAME } from './database.ts';
import { settle } from './disk.ts';
import { inspect } from './inspect.ts';
import { FolderRefused } from './refusals.ts';

/** A file of the data folder that travels inside the backup, so that a backup is one file. */
export const ENCLOSED_TABLE = 'enclosed_file';
const PATIENCE_MS = 5_000;

export type BackupAsked = { dataDir: string; destPath: string; mappingPath: string };
export type BackupDone = { bytes: number; readings: number; hasMapping: boolean };

/**
 * A consistent copy, also while a server writes: `VACUUM INTO` reads one snapshot, which holds up no writer and cannot
 * be overtaken, and leaves one file without a log (sqlite.org/lang_vacuum.html). The copy is looked through before it
 * gets its name.
 *
 * @throws FolderRefused when there is nothing to copy, the copy would replace something, or it does not pass its check
 */
export function backUp({ dataDir, destPath, mappingPath }: BackupAsked): BackupDone {
  const source = join(dataDir, FILE_NAME);
  if (!existsSync(source)) throw new FolderRefused(`${source}: there is no such file`);
  if (existsSync(destPath))
    throw new FolderRefused(`${destPath} is there already. Give the name of a new file`);
  inspect(source);
  const unfinished = `${destPath}.unfinished-${process.pid}`;
  try {
    copy(source, unfinished);
    const hasMapping = existsSync(mappingPath);
    if (hasMapping) enclose(unfinished, readFileSync(mappingPath));
    inspect(unfinished, 'backup');
    const readings = countReadings(unfinished);
    settle(unfinished);
    renameSync(unfinished, destPath);
    settle(destPath);
    return { bytes: statSync(destPath).size, readings, hasMapping };
  } finally {
    rmSync(unfinished, { force: true });
  }
}

function copy(source: string, target: string): void {
  const db = new Database(source, { readonly: true, fileMustExist: true, timeout: PATIENCE_MS });
  try {
    db.prepare('VACUUM INTO ?').run(target);
  } finally {
    db.close();
  }
}

function enclose(path: string, mapping: Buffer): void {
  const db = new Database(path, { fileMustExist: true });
  try {
    db.exec(`CREATE TABLE ${ENCLOSED_TABLE} (name TEXT PRIMARY KEY, content BLOB NOT NULL) STRICT`);
    db.prepare(`INSERT INTO ${ENCLOSED_TABLE} (name, content) VALUES ('mapping', ?)`).run(mapping);
  } finally {
    db.close();
  }
}

function countReadings(path: string): number {
  const db = new Database(path, { readonly: true });
  try {
    return db.prepare<[], { n: number }>('SELECT count(*) AS n FROM reading').get()?.n ?? 0;
  } finally {
    db.close();
  }
}
