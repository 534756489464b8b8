import type { Config } from './config.ts';
import { StartRefused } from './start-refused.ts';
import { SqliteCookouts } from './store/cookouts.ts';
import { asRefusal } from './store/faults.ts';
import { openFolder } from './store/folder.ts';
import { newId } from './store/ids.ts';
import { SqliteJournal } from './store/journal.ts';
import { SqliteOutages } from './store/outages.ts';
import { SqliteReadings } from './store/readings.ts';
import { SqliteSettings } from './store/settings.ts';

export type Stores = ReturnType<typeof openStores>;

/** @throws StartRefused or FolderRefused when the data folder cannot be used as it is; it is then free again */
export function openStores(config: Config) {
  const { db, close } = openFolder(config.dataDir);
  try {
    const settings = new SqliteSettings(db);
    if (!config.isLoopback && settings.get('passphrase') === null)
      throw new StartRefused(
        'TONGSIDE_BIND: no passphrase is set. Start once with TONGSIDE_BIND=127.0.0.1, open the screen, More, Reach, and set one',
      );
    return {
      close,
      settings,
      readings: new SqliteReadings(db),
      cookouts: new SqliteCookouts(db),
      journal: new SqliteJournal(db),
      outages: new SqliteOutages(db),
    };
  } catch (error: unknown) {
    close();
    throw asRefusal(config.dataDir, error);
  }
}

/**
 * The id under which an external broker keeps what came while the server was down: it must not change.
 *
 * @throws FolderRefused when it cannot be stored
 */
export function clientIdOf(settings: SqliteSettings): string {
  const known = settings.get('client-id');
  if (known !== null) return known;
  const id = newId();
  try {
    settings.set('client-id', id);
  } catch (error: unknown) {
    throw asRefusal(settings.path, error);
  }
  return id;
}
