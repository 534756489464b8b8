import type { Db } from './database.ts';

export type SettingName = 'passphrase' | 'session-key' | 'client-id' | 'clock-offset-ms' | 'broker-session';

/** Small facts about this installation. */
export class SqliteSettings {
  private readonly db: Db;

  constructor(db: Db) {
    this.db = db;
  }

  /** Of the database file. */
  get path(): string {
    return this.db.name;
  }

  get(name: SettingName): string | null {
    return (
      this.db.prepare<[string], { value: string }>('SELECT value FROM setting WHERE name = ?').get(name)
        ?.value ?? null
    );
  }

  set(name: SettingName, value: string): void {
    this.db
      .prepare(
        'INSERT INTO setting (name, value) VALUES (?, ?) ON CONFLICT (name) DO UPDATE SET value = excluded.value',
      )
      .run(name, value);
  }

  /** All of them or none. */
  setTogether(settings: readonly (readonly [name: SettingName, value: string])[]): void {
    this.db.transaction(() => {
      for (const [name, value] of settings) this.set(name, value);
    })();
  }
}
