import type { Correction } from '../contract/probe.ts';
import type { Bucket } from '../ports.ts';
import type { Db } from './database.ts';
import { degC, SQL } from './packed.ts';
import { correct, type SqliteProbes } from './probes.ts';
import { MINUTE_MS } from './roll-ups.ts';

/** More buckets than any screen has points across. */
const MOST_POINTS = 5_000;

type Sensor = { id: string; key: number };
type Span = { fromMs: number; toMs: number };
type Grid = { key: number; originMs: number; widthMs: number };
type Piece = Span & { source: 'raw' | 'roll-up'; correction: Correction | null };
/** [bucket, epoch ms of the last reading, lowest, highest, last], hundredths of a degree. */
type Row = [bucket: number, atMs: number, min: number, max: number, last: number];
type Params = { key: number; origin: bigint; width: bigint; from: bigint; to: bigint };

/**
 * Lowest, highest and last value of equal stretches of time. From a bucket width of one minute on it reads the roll-ups:
 * a whole minute then counts for the bucket in which it begins, so an edge between two buckets is off by less than a
 * minute. The ends of the span, and the minute that is not rolled up yet, come from the readings and are exact.
 */
export class Buckets {
  private readonly run: ReturnType<typeof prepare>;
  private readonly probes: SqliteProbes;

  constructor(db: Db, probes: SqliteProbes) {
    this.probes = probes;
    this.run = prepare(db);
  }

  of({ id, key }: Sensor, { fromMs, toMs }: Span, points: number): Bucket[] {
    const most = Math.min(Math.max(1, Math.floor(points)), MOST_POINTS);
    const widthMs = Math.max(1, Math.ceil((toMs - fromMs + 1) / most));
    const grid: Grid = { key, originMs: fromMs, widthMs };
    const stretches = this.probes.stretches(id, fromMs, toMs);
    const pieces = stretches.flatMap(({ correction, ...span }) =>
      this.split(grid, span).map((piece): Piece => ({ ...piece, correction })),
    );
    const found: Found = { last: -1, buckets: [] };
    for (const piece of pieces) {
      for (const row of this.rows(grid, piece)) join(found, row, piece.correction);
    }
    return found.buckets;
  }

  /** What of a span is taken from where. */
  private split({ key, widthMs }: Grid, { fromMs, toMs }: Span): Omit<Piece, 'correction'>[] {
    const newest = widthMs < MINUTE_MS ? undefined : this.run.newest.get(key)?.minute;
    const firstMs = Math.ceil(fromMs / MINUTE_MS) * MINUTE_MS;
    const endMs = Math.min(
      Math.floor((toMs + 1) / MINUTE_MS) * MINUTE_MS,
      ((newest ?? Number.NEGATIVE_INFINITY) + 1) * MINUTE_MS,
    );
    if (endMs <= firstMs) return [{ source: 'raw', fromMs, toMs }];
    const pieces = [
      { source: 'raw', fromMs, toMs: firstMs - 1 },
      { source: 'roll-up', fromMs: firstMs, toMs: endMs - 1 },
      { source: 'raw', fromMs: endMs, toMs },
    ] as const;
    return pieces.filter((piece) => piece.toMs >= piece.fromMs);
  }

  private rows({ key, originMs, widthMs }: Grid, { source, fromMs, toMs }: Piece): Row[] {
    const query = source === 'raw' ? this.run.raw : this.run.rolledUp;
    return query.all({
      key,
      origin: BigInt(originMs),
      width: BigInt(widthMs),
      from: BigInt(fromMs),
      to: BigInt(toMs),
    });
  }
}

/** `last`: the number of the newest bucket found so far. */
type Found = { last: number; buckets: Bucket[] };

/** Pieces follow each other in time, so a bucket that two of them share is the last one found. */
function join(found: Found, [bucket, atMs, min, max, last]: Row, correction: Correction | null): void {
  // the gain of a correction is above 0: the order stays
  const [minC, maxC] = [correct(correction, degC(min)), correct(correction, degC(max))];
  const lastC = correct(correction, degC(last));
  const before = found.last === bucket ? found.buckets.pop() : undefined;
  found.last = bucket;
  found.buckets.push([atMs, Math.min(before?.[1] ?? minC, minC), Math.max(before?.[2] ?? maxC, maxC), lastC]);
}

function prepare(db: Db) {
  // Joined to a table of numbers: a GROUP BY on a computed bucket would sort every reading first.
  db.exec(
    `CREATE TEMP TABLE IF NOT EXISTS bucket (i INTEGER PRIMARY KEY);
     WITH RECURSIVE n(i) AS (SELECT 0 UNION ALL SELECT i + 1 FROM n WHERE i < ${MOST_POINTS - 1})
     INSERT OR IGNORE INTO temp.bucket SELECT i FROM n;`,
  );
  const start = 'max(@from, @origin + b.i * @width)';
  const end = 'min(@to, @origin + b.i * @width + @width - 1)';
  const which = 'b.i BETWEEN (@from - @origin) / @width AND (@to - @origin) / @width';
  const newest = `max((minute << 35) + (last_ms << 19) + last_c + ${SQL.shift})`;
  return {
    newest: db.prepare<[number], { minute: number }>(
      'SELECT minute FROM roll_up WHERE sensor_key = ? ORDER BY minute DESC LIMIT 1',
    ),
    raw: db
      .prepare<[Params], Row>(
        `SELECT g.i, g.at_ms, g.low - ${SQL.shift}, g.high - ${SQL.shift}, l.centi_c
         FROM (
           SELECT b.i AS i, max(at_ms) AS at_ms, min(${SQL.shifted}) AS low, max(${SQL.shifted}) AS high
           FROM temp.bucket b CROSS JOIN reading
           WHERE ${which} AND sensor_key = @key AND at_ms BETWEEN ${start} AND ${end} AND ${SQL.isCharted}
           GROUP BY b.i
         ) g CROSS JOIN reading l ON l.sensor_key = @key AND l.at_ms = g.at_ms ORDER BY g.i`,
      )
      .raw(),
    rolledUp: db
      .prepare<[Params], Row>(
        // the last value comes along in the one number that orders by time: looking it up would double the work
        `SELECT b.i, (${newest} >> 35) * ${MINUTE_MS} + ((${newest} >> 19) & 65535), min(min_c), max(max_c),
           (${newest} & 524287) - ${SQL.shift}
         FROM temp.bucket b CROSS JOIN roll_up
         WHERE ${which} AND sensor_key = @key AND n > 0
           AND minute BETWEEN (${start} + ${MINUTE_MS - 1}) / ${MINUTE_MS} AND ${end} / ${MINUTE_MS}
         GROUP BY b.i ORDER BY b.i`,
      )
      .raw(),
  };
}
