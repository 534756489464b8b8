import { describe, expect, it, onTestFinished } from 'vitest';
import { REASON } from '../../server/contract/reading.ts';
import { openDatabase } from '../../server/store/database.ts';
import { MIGRATIONS } from '../../server/store/migrations.ts';
import { SqliteReadings } from '../../server/store/readings.ts';
import { tempDir } from '../support/temp-dir.ts';
import { aReading, MIN, open, T0, taken } from './builders.ts';

type OldRow = { at: number; centi: number; quality: number; reasons: number; delay: number };

/** A data folder as the first schema left it, with readings in it. */
function firstFolder(rows: OldRow[]): string {
  const dir = tempDir();
  const db = openDatabase(dir, MIGRATIONS.slice(0, 1));
  db.exec("INSERT INTO sensor VALUES (1, 'left', 'Left bag', 5), (2, 'right', 'right', 6)");
  db.exec("INSERT INTO setting VALUES ('client-id', 'abc')");
  const insert = db.prepare('INSERT INTO reading VALUES (?, @at, @centi, @quality, @reasons, @delay)');
  for (const row of rows) for (const key of [1, 2]) insert.run(key, row);
  db.close();
  return dir;
}

describe('a data folder of the first schema', () => {
  const rows: OldRow[] = [
    { at: T0, centi: 412, quality: 1, reasons: 0, delay: 80 },
    { at: T0 + 1_000, centi: -1_850, quality: 2, reasons: 0, delay: -40 },
    { at: T0 + 2_000, centi: 119_999, quality: 3, reasons: REASON.clock | REASON.late, delay: 7_200_000 },
    { at: T0 + 3_000, centi: 30_000, quality: 3, reasons: REASON.spike, delay: 600 },
    { at: T0 + 4_000, centi: 8_500, quality: 4, reasons: REASON.sentinel, delay: 99 * 86_400_000 },
    { at: T0 + MIN, centi: 0, quality: 9, reasons: REASON.device, delay: 0 },
    { at: T0 + 2 * MIN + 7_000, centi: 500, quality: 1, reasons: 0, delay: 0 },
  ];

  it('keeps every reading, time, quality and reason, and everything else', () => {
    const db = openDatabase(firstFolder(rows));
    onTestFinished(() => void db.close());
    const kept = db.prepare<[], OldRow & { mark: number; sensor_key: number }>(
      'SELECT sensor_key, at_ms AS at, centi_c AS centi, mark FROM reading ORDER BY sensor_key, at_ms',
    );
    expect(kept.all().map((r) => [r.sensor_key, r.at, r.centi])).toEqual(
      [1, 2].flatMap((key) => rows.map((r) => [key, r.at, r.centi])),
    );
    const store = new SqliteReadings(db);
    expect(store.window('left', T0, T0 + 1e6)).toEqual(
      rows.map((r) => ({ atMs: r.at, tempC: r.centi / 100, quality: r.quality })),
    );
    expect(store.sensors().map((s) => [s.id, s.label])).toEqual([
      ['left', 'Left bag'],
      ['right', 'right'],
    ]);
    expect(db.prepare('SELECT value FROM setting').pluck().all()).toEqual(['abc']);
    expect(db.pragma('integrity_check', { simple: true })).toBe('ok');
  });

  it('gives each old reading the very mark that it would get today', () => {
    const db = openDatabase(firstFolder(rows));
    onTestFinished(() => void db.close());
    const { db: today, store } = open();
    const sent = rows.map(({ at, centi, quality, reasons, delay }) => {
      const flag = ([1, 2, 3, 4, 9] as const).find((q) => q === quality)!;
      return aReading({ atMs: at, tempC: centi / 100, quality: flag, reasons, receivedMs: at + delay });
    });
    store.commit([taken(...sent)]);
    const marks = (from: typeof db): unknown[] =>
      from.prepare('SELECT mark FROM reading WHERE sensor_key = 1 ORDER BY at_ms').pluck().all();
    expect(marks(db)).toEqual(marks(today));
  });

  it('has its minutes rolled up, and goes on in the newest of them', () => {
    const db = openDatabase(firstFolder(rows));
    onTestFinished(() => void db.close());
    const store = new SqliteReadings(db);
    store.commit([taken(aReading({ atMs: T0 + 2 * MIN + 8_000, tempC: 7 }))]);
    // of the first minute: 4.12, -18.5 and 1199.99 are charted; a spike and a failed one are not
    expect(store.buckets('left', T0, T0 + 3 * MIN - 1, 3)).toEqual([
      [T0 + 2_000, -18.5, 1_199.99, 1_199.99],
      [T0 + 2 * MIN + 8_000, 5, 7, 7],
    ]);
  });
});
