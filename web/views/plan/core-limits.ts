import type { Food, RuleSetId } from '../../../server/contract/food.ts';

export type CoreLimitWords = { tempC: number; text: string };

const UK: CoreLimitWords = { tempC: 70, text: '70 °C for 2 min' };
const US_WHOLE: CoreLimitWords = { tempC: 62.77, text: '145 °F (63 °C) for 15 s' };
const US_MINCE: CoreLimitWords = { tempC: 68.33, text: '155 °F (68 °C) for 17 s' };
const US_BIRD: CoreLimitWords = { tempC: 73.88, text: '165 °F (74 °C)' };
const AU_WHOLE: CoreLimitWords = { tempC: 63, text: '63 °C, then rest 3 to 5 min' };
const AU_THOROUGH: CoreLimitWords = { tempC: 75, text: '75 °C' };

/**
 * The core limit of each food as it is shown, null where a rule set gives no number. The watch itself keeps the limits;
 * this list only lets the plan speak of them before anything is on, and a test compares the two.
 */
const CORE_LIMITS: Record<RuleSetId, Record<Food, CoreLimitWords | null>> = {
  uk: {
    beef: null,
    lamb: null,
    fish: null,
    vegetable: null,
    cheese: null,
    'beef-minced': UK,
    'lamb-minced': UK,
    'pork-minced': UK,
    pork: UK,
    chicken: UK,
    turkey: UK,
    stew: UK,
  },
  us: {
    beef: US_WHOLE,
    lamb: US_WHOLE,
    pork: US_WHOLE,
    fish: US_WHOLE,
    'beef-minced': US_MINCE,
    'lamb-minced': US_MINCE,
    'pork-minced': US_MINCE,
    chicken: US_BIRD,
    turkey: US_BIRD,
    stew: { tempC: 73.88, text: '165 °F (74 °C) for 15 s' },
    vegetable: null,
    cheese: null,
  },
  au: {
    beef: AU_WHOLE,
    lamb: AU_WHOLE,
    pork: { tempC: 70, text: '70 °C' },
    fish: { tempC: 63, text: '63 °C' },
    'beef-minced': AU_THOROUGH,
    'lamb-minced': AU_THOROUGH,
    'pork-minced': AU_THOROUGH,
    chicken: AU_THOROUGH,
    turkey: AU_THOROUGH,
    stew: AU_THOROUGH,
    vegetable: null,
    cheese: null,
  },
};

export function coreLimitOf(ruleSet: RuleSetId, food: Food): CoreLimitWords | null {
  return CORE_LIMITS[ruleSet][food];
}
