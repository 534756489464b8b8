import type { Food, Heat, RuleSetId, Shape } from '../server/contract/food.ts';
import type { PlaceKind } from '../server/contract/cookout.ts';
import type { StepKind } from '../server/contract/steps.ts';

export const FOOD_WORDS: Record<Food, string> = {
  beef: 'Beef, whole pieces',
  'beef-minced': 'Beef, minced (burgers, sausages)',
  lamb: 'Lamb, whole pieces',
  'lamb-minced': 'Lamb, minced',
  pork: 'Pork, whole pieces',
  'pork-minced': 'Pork, minced (sausages)',
  chicken: 'Chicken',
  turkey: 'Turkey',
  fish: 'Fish',
  vegetable: 'Vegetables',
  cheese: 'Cheese for grilling',
  stew: 'Stew, soup, cooked grain',
};

export const SHAPE_WORDS: Record<Shape, string> = {
  slab: 'Flat: steak, fillet, burger, thigh',
  cylinder: 'Long and round: sausage, skewer, roll of meat',
  sphere: 'Round: ball, whole bird, squat joint',
};

/** What the thickness of a shape is measured across. */
export const THICKNESS_WORDS: Record<Shape, string> = {
  slab: 'Thickness at the thickest part',
  cylinder: 'Width across the thickest part',
  sphere: 'Width across the thickest part',
};

export const HEAT_WORDS: Record<Heat, string> = {
  hot: 'Hot',
  medium: 'Medium',
  gentle: 'Gentle',
  indirect: 'Beside the fire, lid closed',
};

export const PLACE_KIND_WORDS: Record<PlaceKind, string> = {
  cooler: 'Cooler',
  zone: 'Part of the grill',
  pot: 'Pot kept hot',
  bench: 'Bench or table',
};

/** Numbers and their units are kept on one line. */
export const RULE_SET_WORDS: Record<RuleSetId, { name: string; gist: string }> = {
  uk: { name: 'United Kingdom', gist: 'cold at 8\u00a0°C or colder, hot at 63\u00a0°C or hotter' },
  us: {
    name: 'United States',
    gist: 'cold at 41\u00a0°F (5\u00a0°C) or colder, hot at 57\u00a0°C (135\u00a0°F) or hotter',
  },
  au: { name: 'Australia', gist: 'cold at 5\u00a0°C or colder, hot at 60\u00a0°C or hotter' },
};

export const STEP_WORDS: Record<StepKind, string> = {
  packed: 'Packed cold',
  on: 'Put on',
  turned: 'Turned',
  moved: 'Moved',
  'lid-opened': 'Lid opened',
  'lid-closed': 'Lid closed',
  off: 'Taken off',
  held: 'Held',
  served: 'Served',
  cooling: 'Cooling began',
  chilled: 'Chilled',
  reheating: 'Reheating began',
  discarded: 'Thrown away',
};
