import {
  REJECT_REASONS,
  type IncomingReading,
  type Reading,
  type Reject,
  type RejectReason,
} from '../contract/reading.ts';
import type { Bucket, Intake, IntakeResult, LoggedReading, ReadingArchive, SensorRow } from '../ports.ts';
import { Buckets } from './buckets.ts';
import type { Db } from './database.ts';
import { Deliveries } from './deliveries.ts';
import {
  centiOf,
  degC,
  delayMsOf,
  isStorable,
  markOf,
  reasonsOf,
  SQL,
  toReading,
  type PackedRow,
} from './packed.ts';
import { correct, SqliteProbes } from './probes.ts';
import { RollUps } from './roll-ups.ts';
import { SideReadings } from './sides.ts';
import { writeProof } from './write-proof.ts';

type RejectRow = { topic: string; receivedMs: number; reason: string; detail: string; payload: Buffer };

/** How many rejected payloads are kept to look at; the counters in health go on. */
const REJECTS_KEPT = 5_000;
const LABEL_LENGTH = 60;

function toReason(value: string): RejectReason {
  return REJECT_REASONS.find((r) => r === value) ?? 'not-a-number';
}

/** Readings, sensors and rejects: append-only, kept as received. Corrections of probes are worked in on the way out. */
export class SqliteReadings implements ReadingArchive {
  /** The one book of corrections of this store: what is added there counts from the next question on. */
  readonly probes: SqliteProbes;
  /** How long the last commit took to reach the disk, ms: without what it took to insert. */
  lastSyncMs = 0;
  private insertedMono = 0;
  private readonly db: Db;
  private readonly keys = new Map<string, number>();
  private readonly run: ReturnType<typeof prepare>;
  private readonly rollUps: RollUps;
  private readonly charts: Buckets;
  private readonly sides: SideReadings;
  private readonly deliveries: Deliveries;
  private readonly prove: () => void;
  private hasFailed = false;
  private readonly work: (intakes: readonly Intake[], added: string[]) => IntakeResult;

  constructor(db: Db) {
    this.db = db;
    this.run = prepare(db);
    this.probes = new SqliteProbes(db);
    this.rollUps = new RollUps(db);
    this.charts = new Buckets(db, this.probes);
    this.sides = new SideReadings(db);
    this.deliveries = new Deliveries(db);
    this.prove = writeProof(db);
    for (const row of this.run.sensors.all()) this.keys.set(row.id, row.key);
    this.work = (intakes, added) => this.storeAll(intakes, added);
  }

  commit(intakes: readonly Intake[]): IntakeResult {
    const added: string[] = [];
    try {
      const result = this.db.transaction(this.work).immediate(intakes, added);
      this.lastSyncMs = performance.now() - this.insertedMono;
      this.sides.settle();
      this.deliveries.settle();
      this.hasFailed = false;
      return result;
    } catch (error: unknown) {
      this.hasFailed = true;
      for (const id of added) this.keys.delete(id); // the transaction that made these keys was rolled back
      this.rollUps.forget();
      this.sides.forget();
      this.deliveries.forget();
      throw error;
    }
  }

  window(sensorId: string, fromMs: number, toMs: number): Reading[] {
    return this.ofSensor(sensorId, (key) => this.run.window.all(key, fromMs, toMs));
  }

  logged(sensorId: string, fromMs: number, toMs: number): LoggedReading[] {
    const key = this.keys.get(sensorId);
    if (key === undefined) return [];
    return this.run.window.all(key, fromMs, toMs).map((row) => ({
      ...this.toCorrected(sensorId, row),
      rawC: degC(row.centi_c),
      reasons: reasonsOf(row.mark),
      receivedMs: row.at_ms + delayMsOf(row.mark),
    }));
  }

  watched(sensorId: string, fromMs: number, toMs: number): Reading[] {
    return this.ofSensor(sensorId, (key) => this.run.watched.all(key, fromMs, toMs));
  }

  page(sensorId: string, fromMs: number, toMs: number, limit: number): Reading[] {
    return this.ofSensor(sensorId, (key) => this.run.page.all(key, fromMs, toMs, limit));
  }

  corrected(sensorId: string, atMs: number, rawC: number): number {
    return this.probes.corrected(sensorId, atMs, rawC);
  }

  newestMs(sensorId: string): number | null {
    const key = this.keys.get(sensorId);
    return key === undefined ? null : (this.run.last.get(key)?.at_ms ?? null);
  }

  buckets(sensorId: string, fromMs: number, toMs: number, points: number): Bucket[] {
    const key = this.keys.get(sensorId);
    return key === undefined ? [] : this.charts.of({ id: sensorId, key }, { fromMs, toMs }, points);
  }

  sensors(): SensorRow[] {
    return this.run.sensors.all().map(({ id, label, key }) => {
      const row = this.run.last.get(key);
      return {
        id,
        label,
        last: row ? this.toCorrected(id, row) : null,
        lastRawC: row ? degC(row.centi_c) : null,
        lastReasons: row ? reasonsOf(row.mark) : 0,
        battery: this.sides.battery(key),
      };
    });
  }

  rename(sensorId: string, label: string): boolean {
    return this.run.rename.run(label, sensorId).changes === 1;
  }

  rejects(limit: number): Reject[] {
    return this.run.rejects.all(limit).map((row) => ({ ...row, reason: toReason(row.reason) }));
  }

  private ofSensor(sensorId: string, read: (key: number) => PackedRow[]): Reading[] {
    const key = this.keys.get(sensorId);
    return key === undefined ? [] : read(key).map((row) => this.toCorrected(sensorId, row));
  }

  private toCorrected(sensorId: string, row: PackedRow): Reading {
    const reading = toReading(row);
    const correction = this.probes.correctionAt(sensorId, reading.atMs);
    return correction ? { ...reading, tempC: correct(correction, reading.tempC) } : reading;
  }

  private storeAll(intakes: readonly Intake[], added: string[]): IntakeResult {
    const stored: IncomingReading[] = [];
    let duplicates = 0;
    let newestMs = 0;
    // after a failure, a group of repeats alone changes nothing and must not pass for a store that works again
    if (intakes.length === 0 || this.hasFailed) this.prove();
    for (const intake of intakes) {
      const receivedMs = receivedOf(intake);
      newestMs = Math.max(newestMs, receivedMs ?? 0);
      if (intake.delivery && receivedMs !== null && this.deliveries.isRepeat(intake.delivery, receivedMs)) {
        duplicates += intake.readings.length;
        continue;
      }
      for (const reading of intake.readings) {
        if (!isStorable(reading)) this.insertReject(asReject(reading));
        else if (this.insert(reading, added)) stored.push(reading);
        else duplicates += 1;
      }
      for (const side of intake.sides)
        this.sides.add(this.keyOf(side.sensorId, side.receivedMs, added), side);
      for (const reject of intake.rejects) this.insertReject(reject);
    }
    this.rollUps.flush();
    if (newestMs > 0) this.deliveries.flush(newestMs);
    this.run.pruneRejects.run(REJECTS_KEPT);
    this.insertedMono = performance.now();
    return { stored, duplicates };
  }

  private insert(reading: IncomingReading, added: string[]): boolean {
    const key = this.keyOf(reading.sensorId, reading.receivedMs, added);
    const row = { at_ms: Math.round(reading.atMs), centi_c: centiOf(reading.tempC), mark: markOf(reading) };
    if (this.run.insert.run(key, row.at_ms, row.centi_c, row.mark).changes === 0) return false;
    this.rollUps.add(key, row);
    return true;
  }

  private keyOf(sensorId: string, seenMs: number, added: string[]): number {
    const known = this.keys.get(sensorId);
    if (known !== undefined) return known;
    const label = sensorId.slice(0, LABEL_LENGTH);
    const key = Number(this.run.addSensor.run(sensorId, label, seenMs).lastInsertRowid);
    this.keys.set(sensorId, key);
    added.push(sensorId);
    return key;
  }

  private insertReject({ receivedMs, topic, reason, detail, payload }: Reject): void {
    this.run.insertReject.run(receivedMs, topic, reason, detail, Buffer.from(payload));
  }
}

/** Null when there is nothing in it that could be kept twice. */
function receivedOf({ readings, sides, rejects }: Intake): number | null {
  return (readings[0] ?? sides[0] ?? rejects[0])?.receivedMs ?? null;
}

/** One number that cannot be kept must not hold up the group that it came with. */
function asReject({ sensorId, tempC, atMs, receivedMs }: IncomingReading): Reject {
  const detail = `${tempC} °C at ${atMs} ms cannot be stored`;
  const seenMs = Number.isFinite(receivedMs) ? receivedMs : 0;
  return { topic: sensorId, receivedMs: seenMs, reason: 'out-of-range', detail, payload: new Uint8Array() };
}

function prepare(db: Db) {
  const span = 'SELECT at_ms, centi_c, mark FROM reading WHERE sensor_key = ? AND at_ms BETWEEN ? AND ?';
  return {
    sensors: db.prepare<[], { key: number; id: string; label: string }>(
      'SELECT key, id, label FROM sensor ORDER BY id',
    ),
    addSensor: db.prepare<[string, string, number]>(
      'INSERT INTO sensor (id, label, first_seen_ms) VALUES (?, ?, ?)',
    ),
    rename: db.prepare<[string, string]>('UPDATE sensor SET label = ? WHERE id = ?'),
    insert: db.prepare<[key: number, atMs: number, centi: number, mark: number]>(
      `INSERT INTO reading (sensor_key, at_ms, packed) VALUES (?, ?, ${SQL.pack}) ON CONFLICT DO NOTHING`,
    ),
    insertReject: db.prepare<[number, string, string, string, Buffer]>(
      'INSERT INTO reject (received_ms, topic, reason, detail, payload) VALUES (?, ?, ?, ?, ?)',
    ),
    pruneRejects: db.prepare<[number]>('DELETE FROM reject WHERE key <= (SELECT max(key) FROM reject) - ?'),
    rejects: db.prepare<[number], RejectRow>(
      'SELECT topic, received_ms AS receivedMs, reason, detail, payload FROM reject ORDER BY key DESC LIMIT ?',
    ),
    last: db.prepare<[number], PackedRow>(
      'SELECT at_ms, centi_c, mark FROM reading WHERE sensor_key = ? ORDER BY at_ms DESC LIMIT 1',
    ),
    window: db.prepare<[number, number, number], PackedRow>(`${span} ORDER BY at_ms`),
    watched: db.prepare<[number, number, number], PackedRow>(`${span} AND ${SQL.isNotLate} ORDER BY at_ms`),
    page: db.prepare<[number, number, number, number], PackedRow>(`${span} ORDER BY at_ms LIMIT ?`),
  };
}
