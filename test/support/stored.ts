import Database from 'better-sqlite3';
import { join } from 'node:path';

/** The times of all readings in a data folder, ascending, after SQLite has found the file whole. */
export function storedTimes(dir: string, name = 'tongside.db'): number[] {
  const db = new Database(join(dir, name), { readonly: true });
  try {
    const found = db.pragma('integrity_check', { simple: true });
    if (found !== 'ok') throw new Error(`integrity_check: ${String(found)}`);
    return db.prepare<[], number>('SELECT at_ms FROM reading ORDER BY at_ms').pluck().all();
  } finally {
    db.close();
  }
}
