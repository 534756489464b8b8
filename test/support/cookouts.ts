import type { Batch, Cookout, Dish, Place } from '../../server/contract/cookout.ts';

export const T0 = 1_760_000_000_000;
export const MIN = 60_000;

export function aCookout(over: Partial<Cookout> = {}): Cookout {
  return {
    id: 'supper',
    name: 'Test supper',
    timeZone: 'UTC',
    altitudeM: 0,
    ruleSet: 'uk',
    guests: 12,
    diets: [],
    serves: [{ id: 'first', atMs: T0 + 60 * MIN }],
    isDemo: false,
    createdMs: T0,
    endedMs: null,
    ...over,
  };
}
export function aPlace(over: Partial<Place> = {}): Place {
  return {
    id: 'bag',
    cookoutId: 'supper',
    kind: 'cooler',
    name: 'Trout bag',
    short: 'Trout bag',
    heat: null,
    litres: null,
    sensorIds: ['bag-probe'],
    order: 0,
    ...over,
  };
}
export function aDish(over: Partial<Dish> = {}): Dish {
  return {
    id: 'chicken',
    cookoutId: 'supper',
    name: 'Chicken thighs',
    short: 'Chicken',
    food: 'chicken',
    shape: 'slab',
    thicknessMm: 26,
    targetC: 75,
    clockMin: null,
    restMin: 5,
    turnPlan: { kind: 'none' },
    reserve: false,
    heatMin: null,
    order: 0,
    ...over,
  };
}
export function aBatch(over: Partial<Batch> = {}): Batch {
  return {
    id: 'chicken-1',
    dishId: 'chicken',
    label: '1st',
    pieces: 12,
    serveId: 'first',
    sensorId: 'core-probe',
    placeId: null,
    plannedOnMs: null,
    order: 0,
    ...over,
  };
}
