import type { CookoutDetail } from '../../../server/contract/api.ts';
import type { Batch, Dish } from '../../../server/contract/cookout.ts';
import type { SensorView } from '../../../server/contract/probe.ts';
import { FOOD_WORDS, RULE_SET_WORDS } from '../../food-words.ts';
import { clockText } from '../../format/clock.ts';
import { limitText } from '../../format/temperature.ts';
import { doubtOf } from '../../standing-words.ts';
import { coreLimitOf } from './core-limits.ts';

export type PlanSection = 'occasion' | 'places' | 'dishes';
export type CheckItem = {
  id: string;
  /** What it is about: `limit` items are how things are; the others can be mended. */
  kind:
    | 'missing'
    | 'no-probe'
    | 'unchecked-probe'
    | 'no-limit'
    | 'no-serving'
    | 'shared-probe'
    | 'odd-serving'
    | 'low-target';
  section: PlanSection | 'probes';
  subject: string;
  text: string;
};

const MINUTE_MS = 60_000;

function isOver({ status }: CookoutDetail['batches'][number]): boolean {
  return status === 'served' || status === 'discarded';
}

/** Servings that cannot be meant so: in the past, or two in the same minute. */
function servingItems({ cookout, batches }: CookoutDetail, nowMs: number): CheckItem[] {
  const { serves, timeZone } = cookout;
  const about = { kind: 'odd-serving', section: 'occasion' } as const;
  const minuteOf = (atMs: number): number => Math.floor(atMs / MINUTE_MS);
  return serves.flatMap(({ id, atMs }, index) => {
    const subject = `Serving at ${clockText(atMs, timeZone)}`;
    const items: CheckItem[] = [];
    const own = batches.filter(({ serveId }) => serveId === id);
    const isDone = own.length > 0 && own.every(isOver);
    if (!isDone && !(minuteOf(atMs) >= minuteOf(nowMs)))
      items.push({ ...about, id: `${id}:past`, subject, text: 'In the past: nothing can be ready for it.' });
    if (serves.slice(0, index).some((other) => minuteOf(other.atMs) === minuteOf(atMs)))
      items.push({ ...about, id: `${id}:twice`, subject, text: 'Two servings at the same minute.' });
    return items;
  });
}

function occasionItems({ cookout, dishes }: CookoutDetail): CheckItem[] {
  const items: CheckItem[] = [];
  if (cookout.serves.length === 0)
    items.push({
      id: 'serves',
      kind: 'no-serving',
      section: 'occasion',
      subject: cookout.name,
      text: 'No serving time. Nothing can be worked back.',
    });
  if (dishes.length === 0)
    items.push({
      id: 'dishes',
      kind: 'missing',
      section: 'dishes',
      subject: cookout.name,
      text: 'No dish yet.',
    });
  return items;
}

function noProbeText({ reserve, targetC }: Dish): string {
  if (reserve) return 'No probe: only spot checks by hand can tell its temperature.';
  if (targetC === null) return 'No probe: it goes by the clock, and its temperature is not watched.';
  return 'No probe: timed by the clock until you check it by hand.';
}

function noServeText({ reserve }: Dish, { plannedOnMs }: Batch): string {
  if (plannedOnMs !== null) return 'No serving time: it cannot be late, so nobody is told.';
  return `No serving time: when ${reserve ? 'to heat it' : 'it goes on'} cannot be worked back.`;
}

function batchItems(detail: CookoutDetail, dish: Dish, batch: Batch): CheckItem[] {
  const subject = `${dish.name}, ${batch.label}`;
  const about = { section: 'dishes', subject } as const;
  const items: CheckItem[] = [];
  if (batch.sensorId === null)
    items.push({
      ...about,
      id: `${batch.id}:probe`,
      kind: 'no-probe',
      text: noProbeText(dish),
    });
  const hasServe = detail.cookout.serves.some(({ id }) => id === batch.serveId);
  if (!hasServe)
    items.push({
      ...about,
      id: `${batch.id}:serve`,
      kind: 'no-serving',
      text: noServeText(dish, batch),
    });
  if (batch.placeId === null)
    items.push({ ...about, id: `${batch.id}:place`, kind: 'missing', text: 'No place to cook or wait.' });
  return items;
}

function dishItems(detail: CookoutDetail, dish: Dish): CheckItem[] {
  const about = { section: 'dishes', subject: dish.name } as const;
  const { ruleSet } = detail.cookout;
  const items: CheckItem[] = [];
  const batches = detail.batches.filter(({ dishId }) => dishId === dish.id);
  if (batches.length === 0)
    items.push({ ...about, id: `${dish.id}:batches`, kind: 'missing', text: 'No batch: nothing goes on.' });
  const limit = coreLimitOf(ruleSet, dish.food);
  if (limit !== null && dish.targetC !== null && !(dish.targetC >= limit.tempC))
    items.push({
      ...about,
      id: `${dish.id}:target`,
      kind: 'low-target',
      text: `To come off at ${limitText(dish.targetC)}. The limit is ${limit.text}: it is not called ready before that.`,
    });
  if (limit === null)
    items.push({
      ...about,
      id: `${dish.id}:limit`,
      kind: 'no-limit',
      text: `No core limit: the ${RULE_SET_WORDS[ruleSet].name} rules give no number for "${FOOD_WORDS[dish.food]}". Nothing is checked when it comes off.`,
    });
  return [...items, ...batches.flatMap((batch) => batchItems(detail, dish, batch))];
}

function placeItems({ places }: CookoutDetail): CheckItem[] {
  const items: CheckItem[] = [];
  for (const place of places) {
    if (place.sensorIds.length > 0) continue;
    const about = { section: 'places', subject: place.name } as const;
    switch (place.kind) {
      case 'cooler':
      case 'pot':
        items.push({
          ...about,
          id: `${place.id}:probe`,
          kind: 'no-probe',
          text: 'No probe: nobody is told when it leaves its limit.',
        });
        break;
      case 'bench':
        items.push({
          ...about,
          id: `${place.id}:limit`,
          kind: 'no-limit',
          text: 'No limit: a bench has none.',
        });
        break;
      case 'zone':
        break;
    }
  }
  return items;
}

/** A probe that sits in two things cannot tell of either. */
function sharedProbeItems({ batches, places, dishes }: CookoutDetail): CheckItem[] {
  const seats = new Map<string, string[]>();
  const seat = (sensorId: string, name: string) =>
    seats.set(sensorId, [...(seats.get(sensorId) ?? []), name]);
  for (const batch of batches) {
    if (batch.sensorId === null || isOver(batch)) continue;
    const dish = dishes.find(({ id }) => id === batch.dishId);
    seat(batch.sensorId, `${dish?.name ?? 'A dish'}, ${batch.label}`);
  }
  for (const place of places) for (const sensorId of place.sensorIds) seat(sensorId, place.name);
  return [...seats]
    .filter(([, names]) => names.length > 1)
    .map(([sensorId, names]) => ({
      id: `${sensorId}:shared`,
      kind: 'shared-probe',
      section: 'dishes',
      subject: `Probe ${sensorId}`,
      text: `Planned in ${names.join(' and in ')}. Move it when the first is served.`,
    }));
}

/** A probe that failed or never had its check, where it sits in food, a bag or a pot. */
function doubtedProbeItems({ batches, places }: CookoutDetail, sensors: readonly SensorView[]): CheckItem[] {
  const used = new Set([
    ...batches.filter((batch) => !isOver(batch)).map(({ sensorId }) => sensorId),
    ...places.filter(({ kind }) => kind !== 'zone').flatMap(({ sensorIds }) => sensorIds),
  ]);
  return sensors.flatMap(({ id, standing }): CheckItem[] => {
    const doubt = doubtOf(standing);
    if (doubt === null || !used.has(id)) return [];
    const text = doubt === 'failed' ? 'Failed its check.' : 'Never checked: try it in ice water.';
    return [{ id: `${id}:check`, kind: 'unchecked-probe', section: 'probes', subject: `Probe ${id}`, text }];
  });
}

/** Everything that the plan leaves open, said plainly: what is not watched, not limited, not timed. */
export function checkPlan(detail: CookoutDetail, sensors: readonly SensorView[], nowMs: number): CheckItem[] {
  return [
    ...occasionItems(detail),
    ...servingItems(detail, nowMs),
    ...detail.dishes.flatMap((dish) => dishItems(detail, dish)),
    ...placeItems(detail),
    ...sharedProbeItems(detail),
    ...doubtedProbeItems(detail, sensors),
  ];
}
