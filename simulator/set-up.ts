import type { CookoutDetail } from '../server/contract/api.ts';
import { CookoutDetailSchema } from '../server/contract/api.ts';
import type { BatchInput, Cookout, CookoutInput, PlaceInput } from '../server/contract/cookout.ts';
import { BatchSchema, CookoutSchema, DishSchema, PlaceSchema } from '../server/contract/cookout.ts';
import type { Act } from './act.ts';
import type { Answer, Host } from './host.ts';
import { listOf } from './host.ts';
import type { Mapping } from './mapping.ts';
import { mappingOf } from './mapping.ts';
import { must } from './must.ts';
import type { Scenario, ScenarioBatch, ScenarioPlace } from './scenario.ts';
import { dishOf } from './scenario.ts';

const RULE_SET = 'uk';
const MINUTE_MS = 60_000;

/** The newest demo of this name that is not closed and not over, or null. */
export async function findCookout(host: Host, scenario: Scenario, nowMs: number): Promise<Cookout | null> {
  const cookouts = must(await host.get('/api/cookouts', listOf(CookoutSchema)));
  const current = cookouts.find(({ endedMs }) => endedMs === null);
  const isOurs =
    current !== undefined &&
    current.isDemo &&
    current.name === scenario.cookoutName &&
    nowMs < zeroOf(scenario, current) + scenario.endMin * MINUTE_MS;
  return isOurs ? current : null;
}

/** Minute zero of the scenario in a cookout that was set up before; NaN when it has no serving. */
export function zeroOf(scenario: Scenario, cookout: Cookout): number {
  const [first] = cookout.serves;
  return (first?.atMs ?? Number.NaN) - (scenario.serveMins[0] ?? Number.NaN) * MINUTE_MS;
}

export async function makeCookout(host: Host, scenario: Scenario, zeroMs: number): Promise<Cookout> {
  const input: CookoutInput = {
    name: scenario.cookoutName,
    ruleSet: RULE_SET,
    guests: scenario.guests,
    diets: scenario.diets.map((diet) => ({ ...diet })),
    serves: scenario.serveMins.map((minute) => ({ atMs: zeroMs + minute * MINUTE_MS })),
    isDemo: true,
  };
  return must(await host.make('/api/cookouts', input, CookoutSchema));
}

export async function detailOf(host: Host, cookoutId: string): Promise<Answer<CookoutDetail>> {
  return host.get(`/api/cookouts/${cookoutId}`, CookoutDetailSchema);
}

/** The probes have been in since the beginning of the day, which the server could not see. */
function placeInput(place: ScenarioPlace, sensorsSinceMs: number): PlaceInput {
  const { kind, name, sensor } = place;
  const base = { kind, name, sensorIds: [sensor], sensorsSinceMs };
  return place.kind === 'zone' ? { ...base, heat: place.heat } : { ...base, litres: place.litres };
}

function batchInput(
  cookout: Cookout,
  zeroMs: number,
  batch: ScenarioBatch,
  places: Mapping['placeIds'],
): BatchInput {
  const place = places.get(batch.cooksOn ?? batch.waitsIn);
  const serve = batch.serve === null ? undefined : cookout.serves[batch.serve];
  return {
    label: batch.label,
    pieces: batch.pieces,
    serveId: serve?.id ?? null,
    sensorId: batch.sensor,
    placeId: place ?? null,
    plannedOnMs: batch.onMin === null ? null : Math.round(zeroMs + batch.onMin * MINUTE_MS),
  };
}

/** Adds what is still missing of places, dishes and batches, as the set-up forms would. */
export async function completeCookout(
  host: Host,
  scenario: Scenario,
  cookoutId: string,
): Promise<CookoutDetail> {
  let detail = must(await detailOf(host, cookoutId));
  const path = `/api/cookouts/${cookoutId}`;
  const before = mappingOf(scenario, detail);
  const zeroMs = zeroOf(scenario, detail.cookout);
  const sinceMs = zeroMs + scenario.startMin * MINUTE_MS;
  for (const place of scenario.places) {
    if (!before.placeIds.has(place.key))
      must(await host.make(`${path}/places`, placeInput(place, sinceMs), PlaceSchema));
  }
  for (const { input } of scenario.dishes) {
    if (detail.dishes.some(({ name }) => name === input.name)) continue;
    must(await host.make(`${path}/dishes`, input, DishSchema));
  }
  detail = must(await detailOf(host, cookoutId));
  const { placeIds, batchIds } = mappingOf(scenario, detail);
  for (const batch of scenario.batches) {
    if (batchIds.has(batch.key)) continue;
    const dish = detail.dishes.find(({ name }) => name === dishOf(scenario, batch).input.name);
    if (dish === undefined) throw new Error(`the server has no dish ${dishOf(scenario, batch).input.name}`);
    const input = batchInput(detail.cookout, zeroMs, batch, placeIds);
    must(await host.make(`/api/dishes/${dish.id}/batches`, input, BatchSchema));
  }
  return must(await detailOf(host, cookoutId));
}

/** Records what happened before live time began, unless live time has left its mark already. */
export async function recordHistory(
  host: Host,
  mapping: Mapping,
  detail: CookoutDetail,
  acts: readonly Act[],
): Promise<void> {
  if (detail.steps.some(({ atMs }) => atMs > detail.cookout.createdMs)) return;
  for (const act of acts) {
    if (act.kind !== 'step') continue;
    const batchId = mapping.batchIds.get(act.batch);
    if (batchId === undefined) continue;
    const known = detail.steps.some(
      (step) => step.batchId === batchId && step.step === act.step && step.atMs === act.atMs,
    );
    if (known) continue;
    const placeId = act.place === null ? undefined : mapping.placeIds.get(act.place);
    must(
      await host.post(`/api/batches/${batchId}/steps`, {
        step: act.step,
        atMs: act.atMs,
        ...(act.heat === null ? {} : { zone: act.heat }),
        ...(placeId === undefined ? {} : { placeId }),
      }),
    );
  }
}
