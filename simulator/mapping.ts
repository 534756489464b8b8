import type { CookoutDetail } from '../server/contract/api.ts';
import type { Act } from './act.ts';
import type { Scenario } from './scenario.ts';
import { dishOf } from './scenario.ts';

/** The scenario's keys and the server's ids, both ways. What a person added by hand has no key and moves nothing here. */
export type Mapping = {
  placeIds: ReadonlyMap<string, string>;
  batchIds: ReadonlyMap<string, string>;
  placeKeys: ReadonlyMap<string, string>;
  batchKeys: ReadonlyMap<string, string>;
};

function turned(pairs: ReadonlyMap<string, string>): Map<string, string> {
  return new Map([...pairs].map(([key, id]) => [id, key]));
}

/** Finds places by name, batches by the name of their dish and their label. */
export function mappingOf(scenario: Scenario, detail: CookoutDetail): Mapping {
  const placeIds = new Map<string, string>();
  for (const { key, name } of scenario.places) {
    const place = detail.places.find((candidate) => candidate.name === name);
    if (place !== undefined) placeIds.set(key, place.id);
  }
  const batchIds = new Map<string, string>();
  for (const batch of scenario.batches) {
    const dish = detail.dishes.find(({ name }) => name === dishOf(scenario, batch).input.name);
    const found = detail.batches.find(({ dishId, label }) => dishId === dish?.id && label === batch.label);
    if (found !== undefined) batchIds.set(batch.key, found.id);
  }
  return { placeIds, batchIds, placeKeys: turned(placeIds), batchKeys: turned(batchIds) };
}

/** The recorded steps as the food feels them. */
export function actsOf(mapping: Mapping, steps: CookoutDetail['steps']): Act[] {
  const acts: Act[] = [];
  for (const { batchId, step, atMs, zone, placeId } of steps) {
    const batch = mapping.batchKeys.get(batchId);
    if (batch === undefined) continue;
    const place = placeId === null ? null : (mapping.placeKeys.get(placeId) ?? null);
    acts.push({ kind: 'step', atMs, batch, step, heat: zone, place });
  }
  return acts;
}
