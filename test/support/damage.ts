import { createHash } from 'node:crypto';
import {
  closeSync,
  cpSync,
  existsSync,
  openSync,
  readFileSync,
  statSync,
  truncateSync,
  writeSync,
} from 'node:fs';
import { join } from 'node:path';
import { openDatabase } from '../../server/store/database.ts';
import { SqliteReadings } from '../../server/store/readings.ts';
import { everySecond, taken, T0 } from '../store/builders.ts';
import { tempDir } from './temp-dir.ts';

export const PAGE_BYTES = 4_096;

/** A data folder with some hundred pages of readings, as a killed server leaves it: with its newest commits in the log. */
export function folderOfAKilledServer(): string {
  const [living, killed] = [tempDir(), tempDir()];
  const db = openDatabase(living);
  const store = new SqliteReadings(db);
  store.commit([taken(...everySecond(20_000, (i) => (i % 900) / 10))]);
  db.pragma('wal_checkpoint(TRUNCATE)');
  store.commit([taken(...everySecond(500, (i) => i / 100, T0 + 30_000_000))]);
  for (const end of ['', '-wal'])
    cpSync(join(living, `tongside.db${end}`), join(killed, `tongside.db${end}`));
  db.close();
  return killed;
}

/** The same, with everything in the one file, as a server that was stopped in good order leaves it. */
export function folderOfAStoppedServer(): string {
  const dir = folderOfAKilledServer();
  openDatabase(dir).close();
  return dir;
}

/** Anything but what was there: the same bytes every time. */
function noise(count: number, seed: number): Buffer {
  const parts: Buffer[] = [];
  for (let i = 0; parts.length * 32 < count; i += 1)
    parts.push(createHash('sha256').update(`${seed}:${i}`).digest());
  return Buffer.concat(parts).subarray(0, count);
}

export function overwrite(path: string, at: number, count: number, seed = 1): void {
  const file = openSync(path, 'r+');
  writeSync(file, noise(count, seed), 0, count, at);
  closeSync(file);
}

export type Damage = {
  name: string;
  file: 'tongside.db' | 'tongside.db-wal';
  folder: () => string;
  harm: (dir: string) => void;
};
const inDb = (dir: string): string => join(dir, 'tongside.db');

export const DAMAGES: Damage[] = [
  {
    name: 'noise in its header',
    file: 'tongside.db',
    folder: folderOfAStoppedServer,
    harm: (dir) => overwrite(inDb(dir), 0, 100),
  },
  {
    name: 'a page half of which was never written',
    file: 'tongside.db',
    folder: folderOfAKilledServer,
    harm: (dir) => overwrite(inDb(dir), 40 * PAGE_BYTES + PAGE_BYTES / 2, PAGE_BYTES / 2),
  },
  {
    name: 'a page of noise',
    file: 'tongside.db',
    folder: folderOfAKilledServer,
    harm: (dir) => overwrite(inDb(dir), 40 * PAGE_BYTES, PAGE_BYTES),
  },
  {
    name: 'its end cut off',
    file: 'tongside.db',
    folder: folderOfAKilledServer,
    harm: (dir) => truncateSync(inDb(dir), Math.floor(statSync(inDb(dir)).size / 2)),
  },
  {
    name: 'nothing in it',
    file: 'tongside.db',
    folder: folderOfAKilledServer,
    harm: (dir) => truncateSync(inDb(dir), 0),
  },
  {
    name: 'a shopping list in it',
    file: 'tongside.db',
    folder: folderOfAKilledServer,
    harm: (dir) => overwriteWithText(inDb(dir)),
  },
  {
    name: 'noise for a log',
    file: 'tongside.db-wal',
    folder: folderOfAKilledServer,
    harm: (dir) => overwrite(`${inDb(dir)}-wal`, 0, statSync(`${inDb(dir)}-wal`).size),
  },
];

function overwriteWithText(path: string): void {
  truncateSync(path, 0);
  const file = openSync(path, 'r+');
  writeSync(file, 'charcoal, buns, lemons\n'.repeat(500));
  closeSync(file);
}

/** What the database and its log hold, to the byte. */
export function fingerprint(dir: string): string[] {
  return ['tongside.db', 'tongside.db-wal']
    .filter((name) => existsSync(join(dir, name)))
    .map(
      (name) =>
        `${name} ${createHash('sha256')
          .update(readFileSync(join(dir, name)))
          .digest('hex')}`,
    );
}
