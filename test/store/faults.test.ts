import Database from 'better-sqlite3';
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { AccessControl } from '../../server/api/access.ts';
import { parseConfig } from '../../server/config.ts';
import { lockFolder } from '../../server/store/folder-lock.ts';
import { openFolder } from '../../server/store/folder.ts';
import { SqliteReadings } from '../../server/store/readings.ts';
import { FolderRefused } from '../../server/store/refusals.ts';
import { SqliteSettings } from '../../server/store/settings.ts';
import { clientIdOf, openStores } from '../../server/stores.ts';
import { tempDir } from '../support/temp-dir.ts';
import { anIntake, aReading, open, T0, taken } from './builders.ts';

/** No page more: what a full disk does to the database. */
function fill({ db }: ReturnType<typeof open>): { free: () => void } {
  db.pragma(`max_page_count = ${Number(db.pragma('page_count', { simple: true }))}`);
  return { free: () => void db.pragma('max_page_count = 1073741823') };
}

function configOf(dataDir: string) {
  const parsed = parseConfig({ TONGSIDE_DATA_DIR: dataDir });
  if (!parsed.ok) throw new Error(parsed.problems.join());
  return parsed.config;
}

describe('an empty group', () => {
  it('is written to the file every time, so that it shows whether the store works', () => {
    const { db, store } = open();
    const framesInLog = (): number => {
      const [state] = db.pragma('wal_checkpoint(PASSIVE)') as { log: number }[];
      return state?.log ?? 0;
    };
    for (let i = 0; i < 3; i += 1) {
      db.pragma('wal_checkpoint(TRUNCATE)');
      expect(store.commit([])).toEqual({ stored: [], duplicates: 0 });
      expect(framesInLog()).toBeGreaterThan(0);
    }
  });

  it('fails while there is no room and goes through when there is', () => {
    const folder = open();
    const disk = fill(folder);
    expect(() => folder.store.commit([])).toThrow(/full/);
    expect(() => folder.store.commit([])).toThrow(/full/);
    disk.free();
    expect(folder.store.commit([]).stored).toEqual([]);
  });

  it('fails while another program has the file', () => {
    const { dir, store } = open();
    const other = new Database(join(dir, 'tongside.db'));
    onTestFinished(() => void other.close());
    other.exec('BEGIN IMMEDIATE');
    expect(() => store.commit([])).toThrow(/locked/);
    other.exec('COMMIT');
    expect(store.commit([]).stored).toEqual([]);
  });
});

it('after a failure, a repeat that needs no room does not pass for a store that works again', () => {
  const folder = open();
  folder.store.commit([taken(aReading())]);
  const disk = fill(folder);
  const many = Array.from({ length: 2_000 }, (_, i) => aReading({ sensorId: `s${i}` }));
  expect(() => folder.store.commit([taken(...many)])).toThrow(/full/);
  expect(() => folder.store.commit([taken(aReading())])).toThrow(/full/);
  disk.free();
  expect(folder.store.commit([taken(aReading())])).toEqual({ stored: [], duplicates: 1 });
});

it('the store opens while another program writes', () => {
  const { db, dir, store } = open();
  const delivery = { sender: 'p', packetId: 1, digest: 1, isRepeat: false };
  const reading = aReading({ timeSource: 'arrival' });
  store.commit([anIntake({ readings: [reading], delivery })]);
  const other = new Database(join(dir, 'tongside.db'));
  onTestFinished(() => void other.close());
  other.exec('BEGIN IMMEDIATE');
  expect(new SqliteReadings(db).newestMs('left')).toBe(T0);
});

describe('a data folder that cannot be used', () => {
  it('is refused with its path and what to do', () => {
    const file = join(tempDir(), 'a-file');
    writeFileSync(file, '');
    expect(() => openFolder(file)).toThrow(FolderRefused);
    expect(() => openFolder(file)).toThrow(/a-file.*cannot be written.*this user may write there/);
    const dir = tempDir();
    mkdirSync(join(dir, 'tongside.lock'));
    expect(() => openFolder(dir)).toThrow(/tongside\.lock cannot be written/);
  });

  it('is still said to be in use when it is', () => {
    const dir = tempDir();
    const lock = lockFolder(dir);
    expect(() => lockFolder(dir)).toThrow(/in use by a running Tongside/);
    lock.release();
    lockFolder(dir).release();
  });

  it('is free again when something in it could not be opened', () => {
    const dir = tempDir();
    const { db, close } = openFolder(dir);
    db.exec('DROP TABLE seat; DROP TABLE roll_up');
    close();
    expect(() => openStores(configOf(dir))).toThrow(/no such table/);
    lockFolder(dir).release();
  });

  it('is refused when the name of this installation finds no room in it', () => {
    const folder = open();
    folder.db.exec("CREATE TRIGGER full BEFORE INSERT ON setting BEGIN SELECT raise(ABORT, 'x'); END");
    const settings = new SqliteSettings(folder.db);
    // not a fault of the disk: told as it is
    expect(() => clientIdOf(settings)).not.toThrow(FolderRefused);
    folder.db.exec('DROP TRIGGER full');
    folder.db.pragma('query_only = ON');
    expect(() => clientIdOf(settings)).toThrow(FolderRefused);
    expect(() => clientIdOf(settings)).toThrow(/tongside\.db cannot be written/);
  });
});

// each passphrase is worked on for a good part of a second, on purpose
describe('a new passphrase', { timeout: 20_000 }, () => {
  it('that cannot be stored changes nothing: the old one and its sessions go on', () => {
    const { db } = open();
    const settings = new SqliteSettings(db);
    let ended = 0;
    const access = new AccessControl(settings, false, () => (ended += 1));
    access.setPassphrase('larch lane supper');
    const key = settings.get('session-key');
    for (const name of ['passphrase', 'session-key']) {
      db.exec(`CREATE TRIGGER stop BEFORE UPDATE ON setting WHEN new.name = '${name}'
        BEGIN SELECT raise(ABORT, 'no'); END`);
      expect(() => access.setPassphrase('larch lane breakfast')).toThrow();
      expect(settings.get('session-key')).toBe(key);
      db.exec('DROP TRIGGER stop');
    }
    expect(access.login('larch lane supper', T0)).not.toBeNull();
    expect(ended).toBe(1);
  });

  it('that is stored ends the sessions of the old one', () => {
    const { db } = open();
    const settings = new SqliteSettings(db);
    let ended = 0;
    const access = new AccessControl(settings, false, () => (ended += 1));
    access.setPassphrase('larch lane supper');
    const key = settings.get('session-key');
    access.setPassphrase('larch lane breakfast');
    expect(ended).toBe(2);
    expect(settings.get('session-key')).not.toBe(key);
    expect(access.login('larch lane supper', T0)).toBeNull();
  });
});
