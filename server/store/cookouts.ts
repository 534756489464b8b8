import type { Batch, Cookout, Dish, Place } from '../contract/cookout.ts';
import type { SpotCheck, Step } from '../contract/steps.ts';
import type { CookoutRepository, CookoutState } from '../ports.ts';
import type { Db } from './database.ts';
import {
  toBatch,
  toCookout,
  toDish,
  toPlace,
  toSpotCheck,
  toStep,
  type RawRow,
  type SpotCheckRow,
  type StepRow,
} from './rows.ts';
import { SqliteSeats } from './seats.ts';

/** Cookouts and what is in them. Every change moves `revision`, so that the tick knows when to look again. */
export class SqliteCookouts implements CookoutRepository {
  private readonly db: Db;
  private readonly seats: SqliteSeats;
  private changes = 0;

  constructor(db: Db) {
    this.db = db;
    this.seats = new SqliteSeats(db);
  }

  revision(): number {
    return this.changes;
  }

  sensorsHeard(): number {
    return this.db.prepare<[], { n: number }>('SELECT count(*) AS n FROM sensor').get()?.n ?? 0;
  }

  current(): CookoutState | null {
    const sql = 'SELECT * FROM cookout WHERE ended_ms IS NULL ORDER BY created_ms DESC, rowid DESC LIMIT 1';
    const row = this.db.prepare<[], RawRow>(sql).get();
    return row ? this.stateOf(toCookout(row)) : null;
  }

  all(): Cookout[] {
    return this.db
      .prepare<[], RawRow>('SELECT * FROM cookout ORDER BY created_ms DESC, rowid DESC')
      .all()
      .map(toCookout);
  }

  get(id: string): CookoutState | null {
    const row = this.db.prepare<[string], RawRow>('SELECT * FROM cookout WHERE id = ?').get(id);
    return row ? this.stateOf(toCookout(row)) : null;
  }

  place(id: string): Place | null {
    const row = this.db.prepare<[string], RawRow>('SELECT * FROM place WHERE id = ?').get(id);
    return row ? toPlace(row) : null;
  }
  dish(id: string): Dish | null {
    const row = this.db.prepare<[string], RawRow>('SELECT * FROM dish WHERE id = ?').get(id);
    return row ? toDish(row) : null;
  }
  batch(id: string): Batch | null {
    const row = this.db.prepare<[string], RawRow>('SELECT * FROM batch WHERE id = ?').get(id);
    return row ? toBatch(row) : null;
  }

  saveCookout(c: Cookout): void {
    this.change(() => {
      this.db
        .prepare(
          `INSERT INTO cookout (id, name, time_zone, altitude_m, rule_set, guests, diets_json, serves_json, is_demo, created_ms, ended_ms)
           VALUES (@id, @name, @timeZone, @altitudeM, @ruleSet, @guests, @diets, @serves, @isDemo, @createdMs, @endedMs)
           ON CONFLICT (id) DO UPDATE SET name = excluded.name, time_zone = excluded.time_zone, altitude_m = excluded.altitude_m,
             rule_set = excluded.rule_set, guests = excluded.guests, diets_json = excluded.diets_json,
             serves_json = excluded.serves_json, ended_ms = excluded.ended_ms`,
        )
        .run({
          ...c,
          diets: JSON.stringify(c.diets),
          serves: JSON.stringify(c.serves),
          isDemo: c.isDemo ? 1 : 0,
        });
    });
  }

  savePlace(p: Place, nowMs: number, sinceMs = nowMs): void {
    this.change(() => {
      this.db
        .prepare(
          `INSERT INTO place (id, cookout_id, kind, name, short, heat, litres, sensors_json, position)
           VALUES (@id, @cookoutId, @kind, @name, @short, @heat, @litres, @sensors, @order)
           ON CONFLICT (id) DO UPDATE SET kind = excluded.kind, name = excluded.name, short = excluded.short,
             heat = excluded.heat, litres = excluded.litres, sensors_json = excluded.sensors_json, position = excluded.position`,
        )
        .run({ ...p, sensors: JSON.stringify(p.sensorIds) });
      this.seats.assign('place', p.id, p.sensorIds, { nowMs, sinceMs });
    });
  }

  saveDish(d: Dish): void {
    this.change(() => {
      this.db
        .prepare(
          `INSERT INTO dish (id, cookout_id, name, short, food, shape, thickness_mm, target_c, clock_min, rest_min, turn_plan_json, reserve, heat_min, position)
           VALUES (@id, @cookoutId, @name, @short, @food, @shape, @thicknessMm, @targetC, @clockMin, @restMin, @turnPlan, @reserve, @heatMin, @order)
           ON CONFLICT (id) DO UPDATE SET name = excluded.name, short = excluded.short, food = excluded.food, shape = excluded.shape,
             thickness_mm = excluded.thickness_mm, target_c = excluded.target_c, clock_min = excluded.clock_min,
             rest_min = excluded.rest_min, turn_plan_json = excluded.turn_plan_json, reserve = excluded.reserve,
             heat_min = excluded.heat_min, position = excluded.position`,
        )
        .run({ ...d, turnPlan: JSON.stringify(d.turnPlan), reserve: d.reserve ? 1 : 0 });
    });
  }

  saveBatch(b: Batch, nowMs: number): void {
    this.change(() => {
      this.db
        .prepare(
          `INSERT INTO batch (id, dish_id, label, pieces, serve_id, sensor_id, place_id, planned_on_ms, position)
           VALUES (@id, @dishId, @label, @pieces, @serveId, @sensorId, @placeId, @plannedOnMs, @order)
           ON CONFLICT (id) DO UPDATE SET label = excluded.label, pieces = excluded.pieces, serve_id = excluded.serve_id,
             sensor_id = excluded.sensor_id, place_id = excluded.place_id, planned_on_ms = excluded.planned_on_ms, position = excluded.position`,
        )
        .run(b);
      // the first probe of a batch counts from when the batch went on, however early or late it was written down
      const sinceMs = this.seats.hasSeats('batch', b.id) ? nowMs : 0;
      this.seats.assign('batch', b.id, b.sensorId === null ? [] : [b.sensorId], { nowMs, sinceMs });
    });
  }

  /** Only what has no history can be taken out again; the caller checks. */
  remove(kind: 'place' | 'dish' | 'batch', id: string): void {
    this.change(() => {
      if (kind !== 'dish') this.seats.forget(kind, id);
      this.db.prepare(`DELETE FROM ${kind} WHERE id = ?`).run(id);
    });
  }

  steps(batchId: string): Step[] {
    const sql = 'SELECT * FROM step WHERE batch_id = ? AND withdrawn_ms IS NULL ORDER BY at_ms, rowid';
    return this.db.prepare<[string], StepRow>(sql).all(batchId).map(toStep);
  }

  addStep(step: Step, recordedMs: number): void {
    this.change(() => {
      this.db
        .prepare(
          'INSERT INTO step (id, batch_id, step, at_ms, zone, place_id, recorded_ms) VALUES (@id, @batchId, @step, @atMs, @zone, @placeId, @recordedMs)',
        )
        .run({ ...step, recordedMs });
    });
  }

  /** The step with when it was written down, or null when it is unknown or already withdrawn. */
  step(id: string): { step: Step; recordedMs: number } | null {
    const row = this.db
      .prepare<[string], StepRow>('SELECT * FROM step WHERE id = ? AND withdrawn_ms IS NULL')
      .get(id);
    return row ? { step: toStep(row), recordedMs: row.recorded_ms } : null;
  }

  withdrawStep(id: string, nowMs: number): void {
    this.change(() => this.db.prepare('UPDATE step SET withdrawn_ms = ? WHERE id = ?').run(nowMs, id));
  }

  addSpotCheck(check: SpotCheck, recordedMs: number): void {
    this.change(() => {
      this.db
        .prepare(
          'INSERT INTO spot_check (id, batch_id, temp_c, at_ms, place, recorded_ms) VALUES (@id, @batchId, @tempC, @atMs, @where, @recordedMs)',
        )
        .run({ ...check, recordedMs });
    });
  }

  private stateOf(cookout: Cookout): CookoutState {
    const all = <T>(sql: string): T[] => this.db.prepare<[string], T>(sql).all(cookout.id);
    const ofCookout =
      'JOIN batch b ON b.id = batch_id JOIN dish d ON d.id = b.dish_id WHERE d.cookout_id = ?';
    return {
      cookout,
      places: all<RawRow>('SELECT * FROM place WHERE cookout_id = ? ORDER BY position, rowid').map(toPlace),
      dishes: all<RawRow>('SELECT * FROM dish WHERE cookout_id = ? ORDER BY position, rowid').map(toDish),
      batches: all<RawRow>(
        'SELECT b.* FROM batch b JOIN dish d ON d.id = b.dish_id WHERE d.cookout_id = ? ORDER BY d.position, b.position, b.rowid',
      ).map(toBatch),
      steps: all<StepRow>(
        `SELECT s.* FROM step s ${ofCookout} AND withdrawn_ms IS NULL ORDER BY s.at_ms, s.rowid`,
      ).map(toStep),
      spotChecks: all<SpotCheckRow>(
        `SELECT s.* FROM spot_check s ${ofCookout} ORDER BY s.at_ms, s.rowid`,
      ).map(toSpotCheck),
      seats: this.seats.ofCookout(cookout.id),
    };
  }

  private change(work: () => void): void {
    this.db.transaction(work).immediate();
    this.changes += 1;
  }
}
