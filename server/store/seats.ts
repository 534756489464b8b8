import type { Seat } from '../ports.ts';
import type { Db } from './database.ts';

type SeatRow = {
  subject_kind: string;
  subject_id: string;
  sensor_id: string;
  from_ms: number;
  to_ms: number | null;
};

/** Who sat where and when. Nothing is rewritten: a probe that moves ends one seat and begins another. */
export class SqliteSeats {
  private readonly db: Db;

  constructor(db: Db) {
    this.db = db;
  }

  /** `sinceMs`: from when a new seat counts. What a probe read before it sat there is not about this subject. */
  assign(
    kind: Seat['subjectKind'],
    id: string,
    sensorIds: readonly string[],
    at: { nowMs: number; sinceMs: number },
  ): void {
    const { nowMs, sinceMs } = at;
    const open = this.db
      .prepare<[string, string], { sensor_id: string }>(
        'SELECT sensor_id FROM seat WHERE subject_kind = ? AND subject_id = ? AND to_ms IS NULL',
      )
      .all(kind, id)
      .map((row) => row.sensor_id);
    for (const sensorId of open.filter((s) => !sensorIds.includes(s))) {
      this.db
        .prepare(
          'UPDATE seat SET to_ms = ? WHERE subject_kind = ? AND subject_id = ? AND sensor_id = ? AND to_ms IS NULL',
        )
        .run(nowMs, kind, id, sensorId);
    }
    for (const sensorId of sensorIds.filter((s) => !open.includes(s))) {
      this.db
        .prepare('INSERT INTO seat (subject_kind, subject_id, sensor_id, from_ms) VALUES (?, ?, ?, ?)')
        .run(kind, id, sensorId, sinceMs);
    }
  }

  forget(kind: Seat['subjectKind'], id: string): void {
    this.db.prepare('DELETE FROM seat WHERE subject_kind = ? AND subject_id = ?').run(kind, id);
  }

  ofCookout(cookoutId: string): Seat[] {
    const sql = `SELECT * FROM seat WHERE
      (subject_kind = 'place' AND subject_id IN (SELECT id FROM place WHERE cookout_id = @id)) OR
      (subject_kind = 'batch' AND subject_id IN (SELECT b.id FROM batch b JOIN dish d ON d.id = b.dish_id WHERE d.cookout_id = @id))
      ORDER BY key`;
    return this.db
      .prepare<[{ id: string }], SeatRow>(sql)
      .all({ id: cookoutId })
      .map((row) => ({
        subjectKind: row.subject_kind === 'batch' ? 'batch' : 'place',
        subjectId: row.subject_id,
        sensorId: row.sensor_id,
        fromMs: row.from_ms,
        toMs: row.to_ms,
      }));
  }

  hasSeats(kind: Seat['subjectKind'], id: string): boolean {
    const sql = 'SELECT count(*) AS n FROM seat WHERE subject_kind = ? AND subject_id = ?';
    return (this.db.prepare<[string, string], { n: number }>(sql).get(kind, id)?.n ?? 0) > 0;
  }
}
