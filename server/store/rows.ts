import * as z from 'zod/mini';
import { BatchSchema, CookoutSchema, DishSchema, PlaceSchema } from '../contract/cookout.ts';
import type { Batch, Cookout, Dish, Place } from '../contract/cookout.ts';
import { HEATS, TurnPlanSchema, type Heat } from '../contract/food.ts';
import { shown } from '../contract/text.ts';
import { STEPS, type SpotCheck, type Step } from '../contract/steps.ts';

/** Rows as SQLite gives them; every row is parsed on the way out, so that a damaged file is seen and not believed. */
export type RawRow = Record<string, unknown>;

const StringList = z.array(z.string());

function json(value: unknown): unknown {
  return typeof value === 'string' ? JSON.parse(value) : null;
}

/** A name that is refused today may have been stored before: one of them must not make a cookout unreadable. */
const named = (value: unknown): unknown => (typeof value === 'string' ? shown(value) : value);

function diets(value: unknown): unknown {
  return typeof value === 'string' ? JSON.parse(value, (_key, each: unknown) => named(each)) : null;
}

export function toCookout(r: RawRow): Cookout {
  return CookoutSchema.parse({
    id: r['id'],
    name: named(r['name']),
    timeZone: r['time_zone'],
    altitudeM: r['altitude_m'],
    ruleSet: r['rule_set'],
    guests: r['guests'],
    diets: diets(r['diets_json']),
    serves: json(r['serves_json']),
    isDemo: r['is_demo'] === 1,
    createdMs: r['created_ms'],
    endedMs: r['ended_ms'],
  });
}

export function toPlace(r: RawRow): Place {
  return PlaceSchema.parse({
    id: r['id'],
    cookoutId: r['cookout_id'],
    kind: r['kind'],
    name: named(r['name']),
    short: named(r['short']),
    heat: r['heat'],
    litres: r['litres'],
    sensorIds: StringList.parse(json(r['sensors_json'])),
    order: r['position'],
  });
}

export function toDish(r: RawRow): Dish {
  return DishSchema.parse({
    id: r['id'],
    cookoutId: r['cookout_id'],
    name: named(r['name']),
    short: named(r['short']),
    food: r['food'],
    shape: r['shape'],
    thicknessMm: r['thickness_mm'],
    targetC: r['target_c'],
    clockMin: r['clock_min'],
    restMin: r['rest_min'],
    turnPlan: TurnPlanSchema.parse(json(r['turn_plan_json'])),
    reserve: r['reserve'] === 1,
    heatMin: r['heat_min'],
    order: r['position'],
  });
}

export function toBatch(r: RawRow): Batch {
  return BatchSchema.parse({
    id: r['id'],
    dishId: r['dish_id'],
    label: named(r['label']),
    pieces: r['pieces'],
    serveId: r['serve_id'],
    sensorId: r['sensor_id'],
    placeId: r['place_id'],
    plannedOnMs: r['planned_on_ms'],
    order: r['position'],
  });
}

export type StepRow = {
  id: string;
  batch_id: string;
  step: string;
  at_ms: number;
  zone: string | null;
  place_id: string | null;
  recorded_ms: number;
};
export function toStep(r: StepRow): Step {
  const step = STEPS.find((s) => s === r.step);
  if (!step) throw new TypeError(`step ${r.id}: no such step "${r.step}"`);
  const zone: Heat | null = HEATS.find((h) => h === r.zone) ?? null;
  return { id: r.id, batchId: r.batch_id, step, atMs: r.at_ms, zone, placeId: r.place_id };
}

export type SpotCheckRow = { id: string; batch_id: string; temp_c: number; at_ms: number; place: string };
export function toSpotCheck(r: SpotCheckRow): SpotCheck {
  return { id: r.id, batchId: r.batch_id, tempC: r.temp_c, atMs: r.at_ms, where: r.place };
}
