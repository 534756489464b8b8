import type { CookoutDetail, Problem } from '../../../server/contract/api.ts';
import type { SensorView } from '../../../server/contract/probe.ts';
import { change } from '../plan/save.ts';

/** Where a probe can sit: `batch:<id>` or `place:<id>`, empty for nowhere. */
export type SeatKey = string;
export type Seat = {
  key: SeatKey;
  words: string;
  /** The probes that sit there already. */
  probes: readonly string[];
};

export function seatKey(assignedTo: SensorView['assignedTo']): SeatKey {
  return assignedTo === null ? '' : `${assignedTo.kind}:${assignedTo.id}`;
}

/** Everything in the running cookout that a probe can be put in; what is served or thrown away no longer can. */
export function seatsOf({ dishes, batches, places }: CookoutDetail): Seat[] {
  const inFood = batches
    .filter(({ status }) => status !== 'served' && status !== 'discarded')
    .map((batch) => {
      const dish = dishes.find(({ id }) => id === batch.dishId);
      return {
        key: `batch:${batch.id}`,
        words: `${dish?.name ?? 'A dish'}, ${batch.label}`,
        probes: batch.sensorId === null ? [] : [batch.sensorId],
      };
    });
  return [
    ...inFood,
    ...places.map(({ id, name, sensorIds }) => ({ key: `place:${id}`, words: name, probes: sensorIds })),
  ];
}

export function seatWords(detail: CookoutDetail, key: SeatKey): string {
  return seatsOf(detail).find((seat) => seat.key === key)?.words ?? '';
}

export type Patch = { path: string; body: { sensorId: string | null } | { sensorIds: string[] } };

function leavePatch(detail: CookoutDetail, sensorId: string, key: SeatKey): Patch[] {
  const batch = detail.batches.find((one) => `batch:${one.id}` === key && one.sensorId === sensorId);
  if (batch !== undefined) return [{ path: `/api/batches/${batch.id}`, body: { sensorId: null } }];
  const place = detail.places.find((one) => `place:${one.id}` === key && one.sensorIds.includes(sensorId));
  if (place === undefined) return [];
  return [
    { path: `/api/places/${place.id}`, body: { sensorIds: place.sensorIds.filter((id) => id !== sensorId) } },
  ];
}

function takePatch(detail: CookoutDetail, sensorId: string, key: SeatKey): Patch[] {
  const batch = detail.batches.find((one) => `batch:${one.id}` === key);
  if (batch !== undefined) return [{ path: `/api/batches/${batch.id}`, body: { sensorId } }];
  const place = detail.places.find((one) => `place:${one.id}` === key);
  if (place === undefined) return [];
  const others = place.sensorIds.filter((id) => id !== sensorId);
  return [{ path: `/api/places/${place.id}`, body: { sensorIds: [...others, sensorId] } }];
}

/** The changes that move a probe: out of where it sat, then into the new seat. */
export function movePatches(
  detail: CookoutDetail,
  sensorId: string,
  move: { from: SeatKey; to: SeatKey },
): Patch[] {
  if (move.from === move.to) return [];
  return [...leavePatch(detail, sensorId, move.from), ...takePatch(detail, sensorId, move.to)];
}

/** Makes the changes one by one and stops at the first that is refused. */
export async function moveProbe(patches: readonly Patch[]): Promise<Problem | null> {
  for (const { path, body } of patches) {
    const problem = await change(path, body);
    if (problem !== null) return problem;
  }
  return null;
}
