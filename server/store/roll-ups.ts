import type { Db } from './database.ts';
import { isCharted, type PackedRow } from './packed.ts';

export const MINUTE_MS = 60_000;
/** Of a minute in which nothing is charted: any value is less than the lowest and more than the highest. */
const NOTHING = { min: 2 ** 18, max: -(2 ** 18), sum: 0, n: 0, lastMs: -1, last: 0 } as const;

type Minute = {
  minute: number;
  min: number;
  max: number;
  sum: number;
  n: number;
  /** Within the minute. */
  lastMs: number;
  last: number;
};
/** `done`: the newest minute that is in the table. `open`: the one being filled. `late`: one from before, in this group. */
type Track = { done: number; open: Minute | null; late: Minute | null };

/**
 * Lowest, highest, sum, number and last value of every sensor's minutes, written in the transaction that stores the
 * readings. A minute is written when the first reading of a later one arrives, so that a sensor costs one row a minute and
 * not one a group; up to then it is in the readings alone. So: every reading up to the newest minute in the table is
 * in the table, none after it.
 */
export class RollUps {
  private readonly run: ReturnType<typeof prepare>;
  private readonly tracks = new Map<number, Track>();
  private readonly withLate = new Set<number>();

  constructor(db: Db) {
    this.run = prepare(db);
  }

  /** A reading that was stored, in the order of storing. Inside the transaction. */
  add(key: number, row: PackedRow): void {
    const track = this.tracks.get(key) ?? this.load(key, row.at_ms);
    this.place(key, track, row);
  }

  private place(key: number, track: Track, row: PackedRow): void {
    const minute = Math.floor(row.at_ms / MINUTE_MS);
    if (track.open?.minute === minute) fold(track.open, row);
    else if (minute <= track.done) this.addLate(key, track, { ...row, minute });
    else this.openNext(key, track, { ...row, minute });
  }

  /** Before the transaction ends. */
  flush(): void {
    for (const key of this.withLate) {
      const track = this.tracks.get(key);
      if (track?.late) this.put(key, track.late);
      if (track) track.late = null;
    }
    this.withLate.clear();
  }

  /** The transaction was rolled back: what is known is read again from the readings. */
  forget(): void {
    this.tracks.clear();
    this.withLate.clear();
  }

  private openNext(key: number, track: Track, row: PackedRow & { minute: number }): void {
    if (track.open) this.put(key, track.open);
    track.open = fold(emptyMinute(row.minute), row);
    track.done = row.minute - 1;
  }

  private addLate(key: number, track: Track, row: PackedRow & { minute: number }): void {
    if (track.late?.minute !== row.minute) {
      if (track.late) this.put(key, track.late);
      track.late = emptyMinute(row.minute);
      this.withLate.add(key);
    }
    fold(track.late, row);
  }

  /** What is in the readings alone so far, without the one that was stored just now. */
  private load(key: number, exceptMs: number): Track {
    const done = this.run.newest.get(key)?.minute ?? Number.NEGATIVE_INFINITY;
    const track: Track = { done, open: null, late: null };
    this.tracks.set(key, track);
    const fromMs = Number.isFinite(done) ? (done + 1) * MINUTE_MS : 0;
    for (const row of this.run.after.all(key, fromMs, exceptMs)) this.place(key, track, row);
    return track;
  }

  private put(key: number, m: Minute): void {
    this.run.put.run(key, m.minute, m.min, m.max, m.sum, m.n, m.lastMs, m.last);
  }
}

function emptyMinute(minute: number): Minute {
  return { minute, ...NOTHING };
}

function fold(m: Minute, { at_ms: atMs, centi_c: centi, mark }: PackedRow): Minute {
  if (!isCharted(mark)) return m;
  const withinMs = atMs - m.minute * MINUTE_MS;
  m.min = Math.min(m.min, centi);
  m.max = Math.max(m.max, centi);
  m.sum += centi;
  m.n += 1;
  if (withinMs > m.lastMs) {
    m.lastMs = withinMs;
    m.last = centi;
  }
  return m;
}

type PutRow = [
  key: number,
  minute: number,
  min: number,
  max: number,
  sum: number,
  n: number,
  lastMs: number,
  last: number,
];

function prepare(db: Db) {
  return {
    newest: db.prepare<[number], { minute: number }>(
      'SELECT minute FROM roll_up WHERE sensor_key = ? ORDER BY minute DESC LIMIT 1',
    ),
    after: db.prepare<[number, number, number], PackedRow>(
      'SELECT at_ms, centi_c, mark FROM reading WHERE sensor_key = ? AND at_ms >= ? AND at_ms <> ? ORDER BY at_ms',
    ),
    put: db.prepare<PutRow>(
      `INSERT INTO roll_up (sensor_key, minute, min_c, max_c, sum_c, n, last_ms, last_c) VALUES (?, ?, ?, ?, ?, ?, ?, ?)
       ON CONFLICT DO UPDATE SET min_c = min(min_c, excluded.min_c), max_c = max(max_c, excluded.max_c),
         sum_c = sum_c + excluded.sum_c, n = n + excluded.n,
         last_c = CASE WHEN excluded.last_ms > last_ms THEN excluded.last_c ELSE last_c END,
         last_ms = max(last_ms, excluded.last_ms)`,
    ),
  };
}
