import {
  QUALITIES,
  REJECT_REASONS,
  type IncomingReading,
  type Quality,
  type Reading,
  type Reject,
  type RejectReason,
} from '../contract/reading.ts';
import type { Bucket, Delivery, Intake, IntakeResult, ReadingArchive, SensorRow } from '../ports.ts';
import type { Db } from './database.ts';

type ReadingRow = { at_ms: number; centi_c: number; quality: number };
type RejectRow = { topic: string; receivedMs: number; reason: string; detail: string; payload: Buffer };

const CENTI = 100;
/** A message that was not acknowledged comes again within a session, not days later. */
const DELIVERIES_KEPT_MS = 2 * 86_400_000;
/** How many rejected payloads are kept to look at; the counters in health go on. */
const REJECTS_KEPT = 5_000;

function toQuality(value: number): Quality {
  return QUALITIES.find((q) => q === value) ?? 4;
}
function toReason(value: string): RejectReason {
  return REJECT_REASONS.find((r) => r === value) ?? 'not-a-number';
}
function toReading(row: ReadingRow): Reading {
  return { atMs: row.at_ms, tempC: row.centi_c / CENTI, quality: toQuality(row.quality) };
}

/** Readings, sensors and rejects: append-only, kept as received. */
export class SqliteReadings implements ReadingArchive {
  private readonly db: Db;
  private readonly keys = new Map<string, number>();
  private readonly run: ReturnType<typeof prepare>;

  constructor(db: Db) {
    this.db = db;
    this.run = prepare(db);
    for (const row of this.run.sensors.all()) this.keys.set(row.id, row.key);
    this.run.pruneDeliveries.run(DELIVERIES_KEPT_MS);
  }

  commit(intakes: readonly Intake[]): IntakeResult {
    const stored: IncomingReading[] = [];
    let duplicates = 0;
    const added: string[] = [];
    const work = this.db.transaction(() => {
      for (const intake of intakes) {
        const receivedMs = intake.readings[0]?.receivedMs ?? 0;
        if (intake.delivery && this.isRepeat(intake.delivery, receivedMs)) {
          duplicates += intake.readings.length;
          continue;
        }
        for (const reading of intake.readings) {
          if (this.insert(reading, added)) stored.push(reading);
          else duplicates += 1;
        }
        for (const reject of intake.rejects) this.insertReject(reject);
      }
      this.run.pruneRejects.run(REJECTS_KEPT);
    });
    try {
      work.immediate();
    } catch (error: unknown) {
      for (const id of added) this.keys.delete(id); // the transaction that made these keys was rolled back
      throw error;
    }
    return { stored, duplicates };
  }

  window(sensorId: string, fromMs: number, toMs: number): Reading[] {
    return this.run.window.all(sensorId, fromMs, toMs).map(toReading);
  }

  page(sensorId: string, fromMs: number, toMs: number, limit: number): Reading[] {
    return this.run.page.all(sensorId, fromMs, toMs, limit).map(toReading);
  }

  /** At most `points` buckets of equal length; failed and missing readings are left out. */
  buckets(sensorId: string, fromMs: number, toMs: number, points: number): Bucket[] {
    const widthMs = Math.max(1, Math.ceil((toMs - fromMs + 1) / points));
    const rows = this.run.buckets.all({
      sensorId,
      fromMs: BigInt(fromMs),
      toMs: BigInt(toMs),
      widthMs: BigInt(widthMs),
    });
    return rows.map((r) => [r.at_ms, r.min_c / CENTI, r.max_c / CENTI, r.last_c / CENTI]);
  }

  sensors(): SensorRow[] {
    return this.run.sensors.all().map(({ id, label, key }) => {
      const last = this.run.last.get(key);
      return { id, label, last: last ? toReading(last) : null };
    });
  }

  rename(sensorId: string, label: string): boolean {
    return this.run.rename.run(label, sensorId).changes === 1;
  }

  rejects(limit: number): Reject[] {
    return this.run.rejects.all(limit).map((row) => ({ ...row, reason: toReason(row.reason) }));
  }

  /** A message without a time of its own that comes again is known by sender, packet id and content. */
  private isRepeat({ sender, packetId, digest, isRepeat }: Delivery, atMs: number): boolean {
    const before = this.run.delivery.get(sender, packetId);
    if (isRepeat && before?.digest === digest) return true;
    this.run.keepDelivery.run(sender, packetId, digest, atMs);
    return false;
  }

  private insert(reading: IncomingReading, added: string[]): boolean {
    const key = this.keyOf(reading.sensorId, reading.receivedMs, added);
    const centi = Math.round(reading.tempC * CENTI);
    const delayMs = reading.receivedMs - reading.atMs;
    return (
      this.run.insert.run(key, reading.atMs, centi, reading.quality, reading.reasons, delayMs).changes === 1
    );
  }

  private keyOf(sensorId: string, seenMs: number, added: string[]): number {
    const known = this.keys.get(sensorId);
    if (known !== undefined) return known;
    const key = Number(this.run.addSensor.run(sensorId, sensorId.slice(0, 60), seenMs).lastInsertRowid);
    this.keys.set(sensorId, key);
    added.push(sensorId);
    return key;
  }

  private insertReject({ receivedMs, topic, reason, detail, payload }: Reject): void {
    this.run.insertReject.run(receivedMs, topic, reason, detail, Buffer.from(payload));
  }
}

function prepare(db: Db) {
  const key = '(SELECT key FROM sensor WHERE id = ?)';
  return {
    sensors: db.prepare<[], { key: number; id: string; label: string }>(
      'SELECT key, id, label FROM sensor ORDER BY id',
    ),
    addSensor: db.prepare<[string, string, number]>(
      'INSERT INTO sensor (id, label, first_seen_ms) VALUES (?, ?, ?)',
    ),
    rename: db.prepare<[string, string]>('UPDATE sensor SET label = ? WHERE id = ?'),
    insert: db.prepare<[number, number, number, number, number, number]>(
      'INSERT INTO reading (sensor_key, at_ms, centi_c, quality, reasons, delay_ms) VALUES (?, ?, ?, ?, ?, ?) ON CONFLICT DO NOTHING',
    ),
    delivery: db.prepare<[string, number], { digest: string }>(
      'SELECT digest FROM delivery WHERE sender = ? AND packet_id = ?',
    ),
    keepDelivery: db.prepare<[string, number, string, number]>(
      'INSERT INTO delivery (sender, packet_id, digest, at_ms) VALUES (?, ?, ?, ?) ON CONFLICT DO UPDATE SET digest = excluded.digest, at_ms = excluded.at_ms',
    ),
    pruneDeliveries: db.prepare<[number]>(
      'DELETE FROM delivery WHERE at_ms < (SELECT max(at_ms) FROM delivery) - ?',
    ),
    insertReject: db.prepare<[number, string, string, string, Buffer]>(
      'INSERT INTO reject (received_ms, topic, reason, detail, payload) VALUES (?, ?, ?, ?, ?)',
    ),
    pruneRejects: db.prepare<[number]>('DELETE FROM reject WHERE key <= (SELECT max(key) FROM reject) - ?'),
    rejects: db.prepare<[number], RejectRow>(
      'SELECT topic, received_ms AS receivedMs, reason, detail, payload FROM reject ORDER BY key DESC LIMIT ?',
    ),
    last: db.prepare<[number], ReadingRow>(
      'SELECT at_ms, centi_c, quality FROM reading WHERE sensor_key = ? ORDER BY at_ms DESC LIMIT 1',
    ),
    window: db.prepare<[string, number, number], ReadingRow>(
      `SELECT at_ms, centi_c, quality FROM reading WHERE sensor_key = ${key} AND at_ms BETWEEN ? AND ? ORDER BY at_ms`,
    ),
    page: db.prepare<[string, number, number, number], ReadingRow>(
      `SELECT at_ms, centi_c, quality FROM reading WHERE sensor_key = ${key} AND at_ms BETWEEN ? AND ? ORDER BY at_ms LIMIT ?`,
    ),
    buckets: db.prepare<
      [{ sensorId: string; fromMs: bigint; toMs: bigint; widthMs: bigint }],
      { at_ms: number; min_c: number; max_c: number; last_c: number }
    >(
      // a bare column beside one max() comes from the row of that maximum: SQLite, "Bare columns in an aggregate query"
      `WITH b AS (SELECT max(at_ms) AS at_ms, centi_c AS last_c, (at_ms - @fromMs) / @widthMs AS bucket
         FROM reading WHERE sensor_key = (SELECT key FROM sensor WHERE id = @sensorId)
         AND at_ms BETWEEN @fromMs AND @toMs AND quality < 4 GROUP BY bucket),
       m AS (SELECT min(centi_c) AS min_c, max(centi_c) AS max_c, (at_ms - @fromMs) / @widthMs AS bucket
         FROM reading WHERE sensor_key = (SELECT key FROM sensor WHERE id = @sensorId)
         AND at_ms BETWEEN @fromMs AND @toMs AND quality < 4 GROUP BY bucket)
       SELECT at_ms, min_c, max_c, last_c FROM b JOIN m USING (bucket) ORDER BY at_ms`,
    ),
  };
}
