import * as z from 'zod/mini';
import { CorrectionSchema, ProbeCheckSchema, type Correction, type ProbeCheck } from '../contract/probe.ts';
import type { ProbeBook } from '../ports.ts';
import type { Db } from './database.ts';
import type { RawRow } from './rows.ts';
import { MINUTE_MS } from './roll-ups.ts';

/** Corrected values are as fine as stored ones. */
const CENTI = 100;
const CheckIds = z.array(z.string());

/** A stretch of time under one correction, both ends inclusive, epoch ms. */
type Stretch = { fromMs: number; toMs: number; correction: Correction | null };

/** true = gain * raw + offset, to the hundredth of a degree; the raw value where nothing is in force. */
export function correct(correction: Correction | null, rawC: number): number {
  if (correction === null) return rawC;
  return Math.round((correction.gain * rawC + correction.offsetC) * CENTI) / CENTI;
}

/** Checks and corrections of probes. Corrections are kept in memory too: every reading that is read asks for them. */
export class SqliteProbes implements ProbeBook {
  private readonly run: ReturnType<typeof prepare>;
  /** Ascending in `fromMs`; of two that begin together the later one counts. */
  private readonly corrections = new Map<string, Correction[]>();

  constructor(db: Db) {
    this.run = prepare(db);
    for (const row of this.run.corrections.all()) this.remember(toCorrection(row));
  }

  /** Oldest first. */
  history(sensorId: string): { checks: ProbeCheck[]; corrections: Correction[] } {
    return {
      checks: this.run.checks.all(sensorId).map(toCheck),
      corrections: [...(this.corrections.get(sensorId) ?? [])],
    };
  }

  lastChecks(): ProbeCheck[] {
    return this.run.lastChecks.all().map(toCheck);
  }

  correctionAt(sensorId: string, atMs: number): Correction | null {
    return this.corrections.get(sensorId)?.findLast((c) => c.fromMs <= atMs) ?? null;
  }

  corrected(sensorId: string, atMs: number, rawC: number): number {
    return correct(this.correctionAt(sensorId, atMs), rawC);
  }

  /** The span cut where corrections begin, ascending. */
  stretches(sensorId: string, fromMs: number, toMs: number): Stretch[] {
    const inside = (this.corrections.get(sensorId) ?? []).filter(
      (c) => c.fromMs > fromMs && c.fromMs <= toMs,
    );
    const starts = [...new Set([fromMs, ...inside.map((c) => c.fromMs)])];
    return starts.map((start, i) => ({
      fromMs: start,
      toMs: (starts[i + 1] ?? toMs + 1) - 1,
      correction: this.correctionAt(sensorId, start),
    }));
  }

  addCheck(check: ProbeCheck): void {
    this.run.addCheck.run(check);
  }

  addCorrection(correction: Correction): void {
    const { sensorId, fromMs, gain, offsetC } = correction;
    if (fromMs % MINUTE_MS !== 0)
      throw new RangeError(`fromMs: expected the beginning of a minute, got ${fromMs}`);
    if (!(Number.isFinite(gain) && gain > 0)) throw new RangeError(`gain: expected more than 0, got ${gain}`);
    if (!Number.isFinite(offsetC)) throw new RangeError(`offsetC: expected a number, got ${offsetC}`);
    const newest = this.corrections.get(sensorId)?.at(-1);
    if (newest && fromMs < newest.fromMs)
      throw new RangeError(
        `fromMs: expected ${newest.fromMs} or later (a correction begins there), got ${fromMs}`,
      );
    this.run.addCorrection.run({ ...correction, checkIdsJson: JSON.stringify(correction.checkIds) });
    this.remember(correction);
  }

  private remember(correction: Correction): void {
    const known = this.corrections.get(correction.sensorId);
    if (known) known.push(correction);
    else this.corrections.set(correction.sensorId, [correction]);
  }
}

function toCheck(r: RawRow): ProbeCheck {
  return ProbeCheckSchema.parse({
    id: r['id'],
    sensorId: r['sensor_id'],
    kind: r['kind'],
    atMs: r['at_ms'],
    rawC: r['raw_c'],
    readC: r['read_c'],
    expectedC: r['expected_c'],
    windowC: r['window_c'],
    altitudeM: r['altitude_m'],
    outcome: r['outcome'],
  });
}

function toCorrection(r: RawRow): Correction {
  return CorrectionSchema.parse({
    id: r['id'],
    sensorId: r['sensor_id'],
    kind: r['kind'],
    fromMs: r['from_ms'],
    gain: r['gain'],
    offsetC: r['offset_c'],
    checkIds: CheckIds.parse(JSON.parse(String(r['check_ids_json']))),
  });
}

function prepare(db: Db) {
  return {
    checks: db.prepare<[string], RawRow>('SELECT * FROM probe_check WHERE sensor_id = ? ORDER BY at_ms, key'),
    lastChecks: db.prepare<[], RawRow>(
      `SELECT c.* FROM (SELECT DISTINCT sensor_id FROM probe_check) s JOIN probe_check c ON c.key =
         (SELECT key FROM probe_check WHERE sensor_id = s.sensor_id ORDER BY at_ms DESC, key DESC LIMIT 1)
       ORDER BY c.sensor_id`,
    ),
    corrections: db.prepare<[], RawRow>('SELECT * FROM correction ORDER BY from_ms, key'),
    addCheck: db.prepare<[ProbeCheck]>(
      `INSERT INTO probe_check (id, sensor_id, kind, at_ms, raw_c, read_c, expected_c, window_c, altitude_m, outcome)
       VALUES (@id, @sensorId, @kind, @atMs, @rawC, @readC, @expectedC, @windowC, @altitudeM, @outcome)`,
    ),
    addCorrection: db.prepare<[Correction & { checkIdsJson: string }]>(
      `INSERT INTO correction (id, sensor_id, kind, from_ms, gain, offset_c, check_ids_json)
       VALUES (@id, @sensorId, @kind, @fromMs, @gain, @offsetC, @checkIdsJson)`,
    ),
  };
}
