import type { Food, Shape, TurnPlan } from '../../../server/contract/food.ts';

/** What a form starts from; the cook changes what does not fit. */
export type DishDefaults = {
  shape: Shape;
  thicknessMm: number;
  targetC: number | null;
  clockMin: number | null;
  restMin: number;
  turn: TurnPlan['kind'];
  reserve: boolean;
};

// Suggested core temperatures, degC: Food Safety Information Council (Australia), leaflet on cooking
// temperatures, 2022, read: mince, sausages, poultry and leftovers 75; whole beef and lamb 63 and rest;
// pork pieces 70; fish 63. They are suggestions of doneness. The limit that is watched comes from the rule set.
const MINCE_C = 75;
const POULTRY_C = 75;
const WHOLE_RED_MEAT_C = 63;
const PORK_C = 70;
const FISH_C = 63;
const LEFTOVERS_C = 75;

// Sizes, rests, turns and minutes by the clock: common practice, no source.
export const DISH_DEFAULTS: Record<Food, DishDefaults> = {
  beef: {
    shape: 'slab',
    thicknessMm: 30,
    targetC: WHOLE_RED_MEAT_C,
    clockMin: null,
    restMin: 5,
    turn: 'once',
    reserve: false,
  },
  'beef-minced': {
    shape: 'slab',
    thicknessMm: 20,
    targetC: MINCE_C,
    clockMin: null,
    restMin: 0,
    turn: 'once',
    reserve: false,
  },
  lamb: {
    shape: 'slab',
    thicknessMm: 25,
    targetC: WHOLE_RED_MEAT_C,
    clockMin: null,
    restMin: 5,
    turn: 'once',
    reserve: false,
  },
  'lamb-minced': {
    shape: 'cylinder',
    thicknessMm: 30,
    targetC: MINCE_C,
    clockMin: null,
    restMin: 0,
    turn: 'every',
    reserve: false,
  },
  pork: {
    shape: 'slab',
    thicknessMm: 25,
    targetC: PORK_C,
    clockMin: null,
    restMin: 5,
    turn: 'once',
    reserve: false,
  },
  'pork-minced': {
    shape: 'cylinder',
    thicknessMm: 30,
    targetC: MINCE_C,
    clockMin: null,
    restMin: 0,
    turn: 'every',
    reserve: false,
  },
  chicken: {
    shape: 'slab',
    thicknessMm: 26,
    targetC: POULTRY_C,
    clockMin: null,
    restMin: 5,
    turn: 'once',
    reserve: false,
  },
  turkey: {
    shape: 'slab',
    thicknessMm: 30,
    targetC: POULTRY_C,
    clockMin: null,
    restMin: 5,
    turn: 'once',
    reserve: false,
  },
  fish: {
    shape: 'slab',
    thicknessMm: 30,
    targetC: FISH_C,
    clockMin: null,
    restMin: 0,
    turn: 'once',
    reserve: false,
  },
  vegetable: {
    shape: 'slab',
    thicknessMm: 20,
    targetC: null,
    clockMin: 10,
    restMin: 0,
    turn: 'once',
    reserve: false,
  },
  cheese: {
    shape: 'slab',
    thicknessMm: 15,
    targetC: null,
    clockMin: 8,
    restMin: 0,
    turn: 'once',
    reserve: false,
  },
  stew: {
    shape: 'cylinder',
    thicknessMm: 200,
    targetC: LEFTOVERS_C,
    clockMin: null,
    restMin: 0,
    turn: 'none',
    reserve: true,
  },
};
