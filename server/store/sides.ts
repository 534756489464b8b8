import type { SideQuantity, SideReading } from '../contract/reading.ts';
import type { SensorRow } from '../ports.ts';
import type { Db } from './database.ts';

/** As stored: a number is never given to another quantity. */
const CODES: Record<SideQuantity, number> = { humidity: 1, battery: 2, voltage: 3, resistance: 4, signal: 5 };

type Battery = NonNullable<SensorRow['battery']>;

/** Numbers beside the temperature, append-only; the newest battery state of each sensor is kept at hand. */
export class SideReadings {
  private readonly run: ReturnType<typeof prepare>;
  private readonly batteries = new Map<number, Battery>();
  /** Told in a transaction that has not ended. */
  private unsettled: { key: number; battery: Battery }[] = [];

  constructor(db: Db) {
    this.run = prepare(db);
    for (const { key, percent, atMs } of this.run.batteries.all({ battery: CODES.battery }))
      this.batteries.set(key, { percent, atMs });
  }

  /** Inside the transaction. What is no number is not kept: there is nothing to show of it. */
  add(key: number, { quantity, value, unit, atMs: time }: SideReading): void {
    const atMs = Math.round(time);
    if (!Number.isFinite(value) || !Number.isSafeInteger(atMs)) return;
    this.run.insert.run(key, CODES[quantity], atMs, value, unit);
    if (quantity === 'battery') this.unsettled.push({ key, battery: { percent: value, atMs } });
  }

  /** The transaction is on disk. */
  settle(): void {
    for (const { key, battery } of this.unsettled) {
      const known = this.batteries.get(key);
      if (!known || battery.atMs > known.atMs) this.batteries.set(key, battery);
    }
    this.unsettled = [];
  }

  /** The transaction was rolled back. */
  forget(): void {
    this.unsettled = [];
  }

  battery(key: number): Battery | null {
    return this.batteries.get(key) ?? null;
  }
}

function prepare(db: Db) {
  return {
    insert: db.prepare<[number, number, number, number, string]>(
      'INSERT INTO side_reading (sensor_key, quantity, at_ms, value, unit) VALUES (?, ?, ?, ?, ?) ON CONFLICT DO NOTHING',
    ),
    batteries: db.prepare<[{ battery: number }], Battery & { key: number }>(
      `SELECT s.sensor_key AS key, s.value AS percent, s.at_ms AS atMs FROM sensor JOIN side_reading s
         ON s.sensor_key = sensor.key AND s.quantity = @battery AND s.at_ms =
           (SELECT max(at_ms) FROM side_reading WHERE sensor_key = sensor.key AND quantity = @battery)`,
    ),
  };
}
