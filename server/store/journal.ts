import { JournalEntrySchema, type JournalEntry } from '../contract/api.ts';
import { AlarmSchema } from '../contract/board.ts';
import type { AlarmMemory, JournalArchive } from '../ports.ts';
import type { Db } from './database.ts';

type AlarmRow = {
  cookout_id: string | null;
  condition_key: string;
  subject_name: string;
  alarm_json: string;
};

/** Alarms as they stand, and the append-only journal of what happened to them. */
export class SqliteJournal implements JournalArchive {
  private readonly db: Db;

  constructor(db: Db) {
    this.db = db;
  }

  openAlarms(): AlarmMemory[] {
    const sql =
      "SELECT cookout_id, condition_key, subject_name, alarm_json FROM alarm WHERE state <> 'normal' ORDER BY rowid";
    return this.db
      .prepare<[], AlarmRow>(sql)
      .all()
      .map((row) => ({
        alarm: AlarmSchema.parse(JSON.parse(row.alarm_json)),
        cookoutId: row.cookout_id,
        key: row.condition_key,
        subjectName: row.subject_name,
      }));
  }

  record({ alarm, cookoutId, key, subjectName }: AlarmMemory, entry: JournalEntry): void {
    const write = this.db.transaction(() => {
      this.db
        .prepare(
          `INSERT INTO alarm (id, cookout_id, condition_key, subject_name, state, alarm_json) VALUES (?, ?, ?, ?, ?, ?)
           ON CONFLICT (id) DO UPDATE SET state = excluded.state, alarm_json = excluded.alarm_json`,
        )
        .run(alarm.id, cookoutId, key, subjectName, alarm.state, JSON.stringify(alarm));
      this.db
        .prepare(
          'INSERT INTO alarm_journal (alarm_id, at_ms, event, state, entry_json) VALUES (?, ?, ?, ?, ?)',
        )
        .run(alarm.id, entry.atMs, entry.event, entry.state, JSON.stringify(entry));
    });
    write.immediate();
  }

  entries(cookoutId: string): JournalEntry[] {
    const sql =
      'SELECT entry_json FROM alarm_journal j JOIN alarm a ON a.id = j.alarm_id WHERE a.cookout_id = ? ORDER BY j.key';
    return this.db
      .prepare<[string], { entry_json: string }>(sql)
      .all(cookoutId)
      .map((row) => JournalEntrySchema.parse(JSON.parse(row.entry_json)));
  }
}
