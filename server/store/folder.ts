import { openDatabase, type Db } from './database.ts';
import { lockFolder } from './folder-lock.ts';

/**
 * The data folder for a server: held against any other, and its database open.
 *
 * @throws FolderRefused when it cannot be had
 */
export function openFolder(dataDir: string): { db: Db; close: () => void } {
  const lock = lockFolder(dataDir);
  try {
    const db = openDatabase(dataDir);
    const close = (): void => {
      db.close();
      lock.release();
    };
    return { db, close };
  } catch (error: unknown) {
    lock.release();
    throw error;
  }
}
