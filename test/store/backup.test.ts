import Database from 'better-sqlite3';
import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { backUp } from '../../server/store/backup.ts';
import { openDatabase } from '../../server/store/database.ts';
import { openFolder } from '../../server/store/folder.ts';
import { SqliteReadings } from '../../server/store/readings.ts';
import { DamagedDatabase, FolderRefused } from '../../server/store/refusals.ts';
import { restore } from '../../server/store/restore.ts';
import {
  fingerprint,
  folderOfAKilledServer,
  folderOfAStoppedServer,
  overwrite,
  PAGE_BYTES,
} from '../support/damage.ts';
import { tempDir } from '../support/temp-dir.ts';
import { everySecond, open, T0, taken } from './builders.ts';

const NOW = Date.UTC(2026, 7, 29, 18, 30, 5, 250);
const KEPT = 'tongside.db.before-restore-20260829T183005Z';
const mappingOf = (dir: string): string => join(dir, 'mapping.json');
const backupOf = (dataDir: string, destPath = join(tempDir(), 'b.tongside')): string => {
  backUp({ dataDir, destPath, mappingPath: mappingOf(dataDir) });
  return destPath;
};
const restoreTo = (dataDir: string, sourcePath: string, isForced = false) =>
  restore({ sourcePath, dataDir, mappingPath: mappingOf(dataDir), isForced, nowMs: NOW });

function readingsIn(dir: string): number {
  const db = openDatabase(dir);
  try {
    return new SqliteReadings(db).window('left', 0, Number.MAX_SAFE_INTEGER).length;
  } finally {
    db.close();
  }
}

describe('a backup', () => {
  it('is one whole file with what was stored up to then, though the server goes on writing', () => {
    const { dir, store } = open();
    store.commit([taken(...everySecond(300, (i) => i / 10))]);
    writeFileSync(mappingOf(dir), '{"rules":[]}');
    const destPath = join(tempDir(), 'b.tongside');
    const done = backUp({ dataDir: dir, destPath, mappingPath: mappingOf(dir) });
    expect(done).toMatchObject({ readings: 300, hasMapping: true });
    store.commit([taken(...everySecond(300, () => 9, T0 + 400_000))]);
    expect(readdirSync(join(destPath, '..'))).toEqual(['b.tongside']);
    const copy = new Database(destPath, { readonly: true });
    onTestFinished(() => void copy.close());
    expect(copy.pragma('integrity_check', { simple: true })).toBe('ok');
    expect(copy.prepare('SELECT count(*) FROM reading').pluck().get()).toBe(300);
  });

  it('never replaces anything', () => {
    const { dir } = open();
    const destPath = join(tempDir(), 'precious');
    writeFileSync(destPath, 'letters');
    expect(() => backupOf(dir, destPath)).toThrow(/there already/);
    expect(readFileSync(destPath, 'utf8')).toBe('letters');
  });

  it('is not made of a damaged database, and leaves nothing half done', () => {
    const dir = folderOfAStoppedServer();
    overwrite(join(dir, 'tongside.db'), 20 * PAGE_BYTES, PAGE_BYTES);
    const target = tempDir();
    expect(() => backupOf(dir, join(target, 'b'))).toThrow(DamagedDatabase);
    expect(readdirSync(target)).toEqual([]);
  });

  it('is refused where nothing was ever stored', () => {
    expect(() => backupOf(tempDir())).toThrow(/no such file/);
  });
});

describe('a restore', () => {
  it('gives an empty folder the readings and the mapping of the backup, and no trace of the wrapping', () => {
    const { dir, store } = open();
    store.commit([taken(...everySecond(300, (i) => i / 10))]);
    writeFileSync(mappingOf(dir), '{"rules":[]}');
    const target = join(tempDir(), 'new', 'folder');
    expect(restoreTo(target, backupOf(dir))).toEqual({ readings: 300, keptAs: null, hasMapping: true });
    expect(readingsIn(target)).toBe(300);
    expect(readFileSync(mappingOf(target), 'utf8')).toBe('{"rules":[]}');
    const db = openDatabase(target);
    onTestFinished(() => void db.close());
    expect(db.prepare("SELECT name FROM sqlite_schema WHERE name LIKE 'enclosed%'").all()).toEqual([]);
  });

  it('refuses to take the place of a database, unless it is forced: then that is kept beside, log and all', () => {
    const source = backupOf(open().dir);
    const dir = folderOfAKilledServer();
    writeFileSync(mappingOf(dir), '{"old":true}');
    const before = fingerprint(dir);
    expect(() => restoreTo(dir, source)).toThrow(/--force/);
    expect(fingerprint(dir)).toEqual(before);
    expect(restoreTo(dir, source, true)).toMatchObject({ readings: 0, keptAs: join(dir, KEPT) });
    expect(readingsIn(dir)).toBe(0);
    // the one that was there, moved to a folder of its own, has all that it had
    const rescued = tempDir();
    for (const end of ['', '-wal'])
      writeFileSync(join(rescued, `tongside.db${end}`), readFileSync(join(dir, `${KEPT}${end}`)));
    expect(fingerprint(rescued)).toEqual(before);
    expect(readingsIn(rescued)).toBe(20_500);
    expect(readFileSync(mappingOf(dir), 'utf8')).toBe('{"old":true}'); // the backup had no mapping
  });

  it('takes the place of a damaged database, which is kept', () => {
    const source = backupOf(folderOfAStoppedServer());
    const dir = folderOfAStoppedServer();
    overwrite(join(dir, 'tongside.db'), 0, 100);
    const damaged = readFileSync(join(dir, 'tongside.db'));
    expect(() => openDatabase(dir)).toThrow(DamagedDatabase);
    expect(restoreTo(dir, source, true).readings).toBe(20_500);
    expect(readingsIn(dir)).toBe(20_500);
    expect(readFileSync(join(dir, KEPT)).equals(damaged)).toBe(true);
  });

  it.each([
    ['is damaged', (path: string) => overwrite(path, 20 * PAGE_BYTES, PAGE_BYTES)],
    ['is something else', (path: string) => writeFileSync(path, 'charcoal, buns, lemons')],
    ['is empty', (path: string) => writeFileSync(path, '')],
  ])('says that another backup is needed and changes nothing when the backup %s', (_, harm) => {
    const source = backupOf(folderOfAStoppedServer());
    harm(source);
    const dir = folderOfAStoppedServer();
    const before = fingerprint(dir);
    const attempt = () => restoreTo(dir, source, true);
    expect(attempt).toThrow(DamagedDatabase);
    expect(attempt).toThrow(
      `${source} is damaged. Nothing was changed. This backup cannot be used: take an older one`,
    );
    expect(attempt).not.toThrow(/npm run restore|start again/);
    expect(fingerprint(dir)).toEqual(before);
    expect(existsSync(join(dir, 'tongside.db.restoring'))).toBe(false);
  });

  it('refuses a backup of a newer version and a database that is none', () => {
    const dir = folderOfAStoppedServer();
    const source = backupOf(dir);
    const newer = new Database(source);
    newer.pragma('user_version = 9999');
    newer.close();
    expect(() => restoreTo(dir, source, true)).toThrow(/newer Tongside/);
    const foreign = join(tempDir(), 'foreign');
    new Database(foreign).exec('CREATE TABLE recipe (name TEXT)').close();
    expect(() => restoreTo(dir, foreign, true)).toThrow(/not a database of Tongside/);
    expect(readingsIn(dir)).toBe(20_500);
  });

  it('refuses while a server has the folder, and the server refuses a folder that another one has', () => {
    const dir = tempDir();
    const source = backupOf(open().dir);
    const folder = openFolder(dir);
    expect(() => restoreTo(dir, source, true)).toThrow(/in use/);
    expect(() => openFolder(dir)).toThrow(FolderRefused);
    folder.close();
    restoreTo(dir, source, true);
    openFolder(dir).close();
  });

  it('that was cut off is not taken for an empty folder', () => {
    const dir = tempDir();
    writeFileSync(join(dir, 'tongside.db.restoring'), 'half');
    expect(() => openDatabase(dir)).toThrow(/restore was not finished/);
    expect(restoreTo(dir, backupOf(open().dir)).keptAs).toBeNull();
    expect(readingsIn(dir)).toBe(0);
  });
});
