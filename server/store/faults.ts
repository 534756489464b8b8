import Database from 'better-sqlite3';

/** Beginnings of SQLite's result codes (sqlite.org/rescode.html) that say that a write cannot be done just now. */
const CANNOT_WRITE = ['SQLITE_BUSY', 'SQLITE_FULL', 'SQLITE_IOERR', 'SQLITE_READONLY', 'SQLITE_CANTOPEN'];
const DAMAGED = ['SQLITE_NOTADB', 'SQLITE_CORRUPT'];

function hasCode(error: unknown, codes: readonly string[]): boolean {
  return error instanceof Database.SqliteError && codes.some((code) => error.code.startsWith(code));
}

/** Whether it failed because the store cannot be written: disk full, file locked, folder read-only. Nothing was changed. */
export const isStoreFault = (error: unknown): boolean => hasCode(error, [...CANNOT_WRITE, ...DAMAGED]);
export const isLocked = (error: unknown): boolean => hasCode(error, ['SQLITE_BUSY']);
export const isDamage = (error: unknown): boolean => hasCode(error, DAMAGED);
