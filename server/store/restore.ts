import Database from 'better-sqlite3';
import { copyFileSync, existsSync, mkdirSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { ENCLOSED_TABLE } from './backup.ts';
import { FILE_NAME, RESTORING_NAME } from './database.ts';
import { settle } from './disk.ts';
import { lockFolder } from './folder-lock.ts';
import { inspect } from './inspect.ts';
import { MIGRATIONS } from './migrations.ts';
import { FolderRefused } from './refusals.ts';

export type RestoreAsked = {
  sourcePath: string;
  dataDir: string;
  mappingPath: string;
  isForced: boolean;
  nowMs: number;
};
export type RestoreDone = { readings: number; keptAs: string | null; hasMapping: boolean };

/**
 * Puts a backup in the place of the database. The backup is looked through first, what is there is moved aside and never
 * deleted, and nothing happens while a server has the folder.
 *
 * @throws FolderRefused when it may not or cannot; the data folder is then as it was
 */
export function restore({ sourcePath, dataDir, mappingPath, isForced, nowMs }: RestoreAsked): RestoreDone {
  if (!existsSync(sourcePath)) throw new FolderRefused(`${sourcePath}: there is no such file`);
  inspect(sourcePath, 'backup');
  mkdirSync(dataDir, { recursive: true });
  const lock = lockFolder(dataDir);
  try {
    const path = join(dataDir, FILE_NAME);
    const isTaken = existsSync(path) || existsSync(`${path}-wal`);
    if (isTaken && !isForced)
      throw new FolderRefused(`${path} is there already. With --force it is kept beside the restored one`);
    const prepared = join(dataDir, RESTORING_NAME);
    const { mapping, readings } = prepare(sourcePath, prepared);
    const stamp = new Date(nowMs).toISOString().replaceAll(/[-:]|\.\d+/g, '');
    const keptAs = isTaken ? moveAside(path, stamp) : null;
    renameSync(prepared, path);
    if (mapping) putMapping(mappingPath, mapping, stamp);
    settle(path);
    return { readings, keptAs, hasMapping: mapping !== null };
  } finally {
    lock.release();
  }
}

/** A whole, checked copy in the data folder under another name; what travelled in it is taken out. */
function prepare(sourcePath: string, prepared: string): { mapping: Buffer | null; readings: number } {
  for (const end of ['', '-wal', '-shm', '-journal']) rmSync(`${prepared}${end}`, { force: true });
  try {
    copyFileSync(sourcePath, prepared);
    if (existsSync(`${sourcePath}-wal`)) copyFileSync(`${sourcePath}-wal`, `${prepared}-wal`);
    const found = takeOut(prepared);
    inspect(prepared, 'backup');
    settle(prepared);
    return found;
  } catch (error: unknown) {
    for (const end of ['', '-wal', '-shm', '-journal']) rmSync(`${prepared}${end}`, { force: true });
    throw error;
  }
}

function takeOut(prepared: string): { mapping: Buffer | null; readings: number } {
  const db = new Database(prepared, { fileMustExist: true });
  try {
    db.pragma('journal_mode = DELETE'); // one file, without a log of its own
    const version = Number(db.pragma('user_version', { simple: true }));
    const newest = MIGRATIONS.at(-1)?.version ?? 0;
    if (version > newest)
      throw new FolderRefused(
        `the backup is of a newer Tongside (schema ${version}, this one knows ${newest})`,
      );
    const isThere = db.prepare<[string], { n: number }>(
      'SELECT count(*) AS n FROM sqlite_schema WHERE name = ?',
    );
    let mapping: Buffer | null = null;
    if (isThere.get(ENCLOSED_TABLE)?.n === 1) {
      const row = db
        .prepare<[], { content: Buffer }>(`SELECT content FROM ${ENCLOSED_TABLE} WHERE name = 'mapping'`)
        .get();
      mapping = row?.content ?? null;
      db.exec(`DROP TABLE ${ENCLOSED_TABLE}`);
    }
    const readings = db.prepare<[], { n: number }>('SELECT count(*) AS n FROM reading').get()?.n ?? 0;
    return { mapping, readings };
  } finally {
    db.close();
  }
}

/** The log first: a database without its log is older than it was, a log beside another database would spoil that. */
function moveAside(path: string, stamp: string): string {
  const aside = `${path}.before-restore-${stamp}`;
  if (existsSync(aside)) throw new FolderRefused(`${aside} is there already. Wait a second and run it again`);
  for (const end of ['-wal', ''])
    if (existsSync(`${path}${end}`)) renameSync(`${path}${end}`, `${aside}${end}`);
  rmSync(`${path}-shm`, { force: true }); // only an index of the log, built anew by whoever opens it
  return aside;
}

function putMapping(mappingPath: string, mapping: Buffer, stamp: string): void {
  if (existsSync(mappingPath)) renameSync(mappingPath, `${mappingPath}.before-restore-${stamp}`);
  mkdirSync(dirname(mappingPath), { recursive: true });
  writeFileSync(mappingPath, mapping);
  settle(mappingPath);
}
