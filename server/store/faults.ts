import Database from 'better-sqlite3';
import { statfsSync } from 'node:fs';
import { dirname } from 'node:path';
import { FolderRefused } from './refusals.ts';

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

/** What the system says (errno) of a file or folder that cannot be written just now. */
const REFUSED_BY_SYSTEM = [
  'EACCES',
  'EPERM',
  'EROFS',
  'EIO',
  'ENOTDIR',
  'EEXIST',
  'EFBIG',
  'ENOSPC',
  'EDQUOT',
];
/** Less than this is a full disk: a start needs some of it, and without any SQLite says "disk I/O error". OURS. */
const ROOM_BYTES = 1_000_000;

function errnoOf(error: unknown): string {
  return error instanceof Error && 'code' in error ? String(error.code) : '';
}

function isFull(path: string, error: unknown): boolean {
  if (hasCode(error, ['SQLITE_FULL']) || ['ENOSPC', 'EDQUOT'].includes(errnoOf(error))) return true;
  try {
    const { bavail, bsize } = statfsSync(dirname(path));
    return bavail * bsize < ROOM_BYTES;
  } catch {
    return false; // there is no such folder: no question of room
  }
}

/** What somebody can do about a file that cannot be opened, read or written at the start. */
export function adviceFor(path: string, error: unknown): string {
  const first = isFull(path, error)
    ? 'Make room on that disk'
    : 'See that the disk works and that this user may write there';
  return `${first}, then start again`;
}

/** An error over a file or folder at the start: when somebody can do something about it, what; else as it is. */
export function asRefusal(path: string, error: unknown): unknown {
  if (!isStoreFault(error) && !REFUSED_BY_SYSTEM.includes(errnoOf(error))) return error;
  const why = error instanceof Error ? error.message : String(error);
  return new FolderRefused(`${path} cannot be written: ${why}. ${adviceFor(path, error)}`, { cause: error });
}
