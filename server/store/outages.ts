import type { Outage, OutageLog } from '../ports.ts';
import type { Db } from './database.ts';

const KINDS = [
  'session-lost',
  'broker-lost',
  'store-failed',
  'clock-stepped',
] as const satisfies Outage['kind'][];
type OutageRow = { kind: string; fromMs: number; toMs: number; detail: string };

/** When readings may be missing for a reason of ours: append-only. */
export class SqliteOutages implements OutageLog {
  private readonly db: Db;

  constructor(db: Db) {
    this.db = db;
  }

  add({ kind, fromMs, toMs, detail }: Outage): void {
    this.db
      .prepare('INSERT INTO outage (kind, from_ms, to_ms, detail) VALUES (?, ?, ?, ?)')
      .run(kind, Math.round(fromMs), Math.round(toMs), detail);
  }

  between(fromMs: number, toMs: number): Outage[] {
    const sql =
      'SELECT kind, from_ms AS fromMs, to_ms AS toMs, detail FROM outage WHERE to_ms >= ? AND from_ms <= ? ORDER BY from_ms, key';
    return this.db.prepare<[number, number], OutageRow>(sql).all(fromMs, toMs).map(toOutage);
  }
}

function toOutage(row: OutageRow): Outage {
  const kind = KINDS.find((k) => k === row.kind);
  if (!kind) throw new TypeError(`outage: no such kind "${row.kind}"`);
  return { ...row, kind };
}
