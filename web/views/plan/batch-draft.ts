import type { CookoutDetail } from '../../../server/contract/api.ts';
import { BatchInputSchema } from '../../../server/contract/cookout.ts';
import type { Batch, BatchInput, Dish, Place } from '../../../server/contract/cookout.ts';
import { check, numberOf } from '../../form/check.ts';
import type { Checked } from '../../form/check.ts';
import { localTime, zonedTime } from '../../form/zoned-time.ts';

export type BatchDraft = {
  pieces: string;
  /** Empty: not meant for a serving. */
  serveId: string;
  /** Empty: no probe. */
  sensorId: string;
  placeId: string;
  when: 'worked-back' | 'at';
  date: string;
  clock: string;
};

/** Where a dish of this kind usually goes, among the places that there are. */
function usualPlace(dish: Dish, places: readonly Place[]): Place | undefined {
  if (dish.reserve) return places.find(({ kind }) => kind === 'cooler');
  const heat = dish.food === 'fish' || dish.food === 'cheese' || dish.food === 'vegetable' ? 'medium' : 'hot';
  const zones = places.filter(({ kind }) => kind === 'zone');
  return zones.find((zone) => zone.heat === heat) ?? zones[0];
}

/** The next batch of a dish: for the first serving that has none of it yet. Which probe goes in is for the cook to say. */
export function newBatch(detail: CookoutDetail, dish: Dish): BatchDraft {
  const { cookout, batches, places } = detail;
  const own = batches.filter(({ dishId }) => dishId === dish.id);
  const served = new Set(own.map(({ serveId }) => serveId));
  const serve = cookout.serves.find(({ id }) => !served.has(id)) ?? cookout.serves.at(-1);
  const pieces = own.at(-1)?.pieces ?? Math.max(1, cookout.guests);
  return {
    pieces: String(pieces),
    serveId: serve?.id ?? '',
    sensorId: '',
    placeId: usualPlace(dish, places)?.id ?? '',
    when: 'worked-back',
    ...localTime(serve?.atMs ?? cookout.createdMs, cookout.timeZone),
  };
}

export function batchDraft(batch: Batch, detail: CookoutDetail): BatchDraft {
  const { cookout } = detail;
  const serve = cookout.serves.find(({ id }) => id === batch.serveId);
  const shownMs = batch.plannedOnMs ?? serve?.atMs ?? cookout.createdMs;
  return {
    pieces: String(batch.pieces),
    serveId: serve?.id ?? '',
    sensorId: batch.sensorId ?? '',
    placeId: batch.placeId ?? '',
    when: batch.plannedOnMs === null ? 'worked-back' : 'at',
    ...localTime(shownMs, cookout.timeZone),
  };
}

const MESSAGES = {
  pieces: 'Give a whole number of pieces from 1 to 500.',
  serveId: 'Choose a serving.',
  sensorId: 'Choose a probe.',
  placeId: 'Choose a place.',
};

export function batchFieldOf(path: string): string {
  return path === 'plannedOnMs' ? 'clock' : path;
}

const chosen = (id: string): string | null => (id === '' ? null : id);

export function checkBatch(draft: BatchDraft, timeZone: string): Checked<BatchInput> {
  const planned = draft.when === 'at' ? zonedTime(draft, timeZone) : null;
  const checked = check({
    schema: BatchInputSchema,
    candidate: {
      pieces: numberOf(draft.pieces),
      serveId: chosen(draft.serveId),
      sensorId: chosen(draft.sensorId),
      placeId: chosen(draft.placeId),
      plannedOnMs: planned?.ok ? planned.atMs : null,
    },
    messages: MESSAGES,
    fieldOf: batchFieldOf,
  });
  if (planned === null || planned.ok) return checked;
  return { ok: false, errors: { ...(checked.ok ? {} : checked.errors), clock: planned.why } };
}
