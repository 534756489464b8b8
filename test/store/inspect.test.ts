import Database from 'better-sqlite3';
import { truncateSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { openDatabase } from '../../server/store/database.ts';
import { SqliteReadings } from '../../server/store/readings.ts';
import { DamagedDatabase, FolderRefused } from '../../server/store/refusals.ts';
import { DAMAGES, fingerprint, folderOfAKilledServer, overwrite, PAGE_BYTES } from '../support/damage.ts';
import { tempDir } from '../support/temp-dir.ts';
import { T0 } from './builders.ts';

function refusal(dir: string): Error {
  try {
    openDatabase(dir).close();
  } catch (error: unknown) {
    if (error instanceof Error) return error;
  }
  throw new Error('it was opened');
}

describe('a data folder at the start', () => {
  it('is opened with what a killed server left in its log', () => {
    const db = openDatabase(folderOfAKilledServer());
    onTestFinished(() => void db.close());
    expect(new SqliteReadings(db).window('left', T0 + 30_000_000, T0 + 31_000_000)).toHaveLength(500);
  });

  it.each(DAMAGES)('is refused and left as it is when its file has $name', ({ file, folder, harm }) => {
    const dir = folder();
    harm(dir);
    const before = fingerprint(dir);
    const error = refusal(dir);
    expect(error).toBeInstanceOf(DamagedDatabase);
    expect(error.message).toContain(join(dir, file));
    expect(error.message).toMatch(/Nothing was changed.*npm run restore -- BACKUP --force/);
    expect(fingerprint(dir)).toEqual(before);
  });

  it('that is refused says first what to do, then what was found, and that in few words', () => {
    const rows = Array.from({ length: 40 }, (_, i) => `Tree 5 page ${i}: ${'cell out of order '.repeat(9)}`);
    const { message } = new DamagedDatabase(
      'x.db',
      ['*** in database main ***', ...rows].join('\n'),
      'database',
    );
    expect(message).toMatch(
      /^x\.db is damaged\. Nothing was changed\. To go on from a backup: npm run restore/,
    );
    expect(message).toMatch(/Found: Tree 5 page 0: cell .*… \(and 39 more\)$/);
    expect(message.length).toBeLessThan(350);
    for (const { folder, harm } of DAMAGES) {
      const dir = folder();
      harm(dir);
      expect(refusal(dir).message.replaceAll(dir, '').length).toBeLessThan(350);
    }
  });

  it('is never changed by a start that is refused, wherever the damage is', { timeout: 60_000 }, () => {
    let refused = 0;
    for (let seed = 1; seed <= 25; seed += 1) {
      const dir = folderOfAKilledServer();
      const isLog = seed % 4 === 0;
      const at = isLog ? 0 : (seed * 7 * PAGE_BYTES) % (90 * PAGE_BYTES);
      overwrite(join(dir, isLog ? 'tongside.db-wal' : 'tongside.db'), at, 8 + ((seed * 131) % 600), seed);
      const before = fingerprint(dir);
      try {
        openDatabase(dir).close();
      } catch (error: unknown) {
        refused += 1;
        expect(error).toBeInstanceOf(FolderRefused);
        expect(fingerprint(dir)).toEqual(before);
      }
    }
    expect(refused).toBeGreaterThan(15);
  });

  it('is opened when the log holds anew what is damaged in the file', () => {
    const dir = folderOfAKilledServer();
    overwrite(join(dir, 'tongside.db'), 0, 100);
    const db = openDatabase(dir);
    onTestFinished(() => void db.close());
    expect(db.pragma('integrity_check', { simple: true })).toBe('ok');
    expect(new SqliteReadings(db).window('left', T0, T0 + 31_000_000)).toHaveLength(20_500);
  });

  it('is opened when the log ends in the middle of a commit, without that commit', () => {
    const dir = folderOfAKilledServer();
    truncateSync(join(dir, 'tongside.db-wal'), 32 + PAGE_BYTES);
    const db = openDatabase(dir);
    onTestFinished(() => void db.close());
    expect(new SqliteReadings(db).window('left', T0, T0 + 31_000_000)).toHaveLength(20_000);
  });

  it('is opened when the log was begun and nothing was written to it', () => {
    const dir = folderOfAKilledServer();
    writeFileSync(join(dir, 'tongside.db-wal'), Buffer.alloc(PAGE_BYTES));
    openDatabase(dir).close();
  });

  it('is opened after a very first start that ended before anything was in it', () => {
    const dir = tempDir();
    const db = new Database(join(dir, 'tongside.db'));
    db.pragma('journal_mode = WAL');
    db.close();
    openDatabase(dir).close();
  });

  it('is refused when the database is of another program', () => {
    const dir = tempDir();
    const db = new Database(join(dir, 'tongside.db'));
    db.exec('CREATE TABLE recipe (name TEXT)');
    db.close();
    const error = refusal(dir);
    expect(error).toBeInstanceOf(FolderRefused);
    expect(error.message).toMatch(/not a database of Tongside/);
  });
});
