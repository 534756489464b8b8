import type { Food, RuleSetId } from '../../../server/contract/food.ts';

/**
 * Foods for which a rule set gives no core temperature that Tongside could watch. The watch itself keeps the
 * limits; this list only lets the plan say so before anything is on, and a test compares the two.
 */
const NO_CORE_LIMIT: Record<RuleSetId, readonly Food[]> = {
  uk: ['beef', 'lamb', 'fish', 'vegetable', 'cheese'],
  us: ['vegetable', 'cheese'],
  au: ['vegetable', 'cheese'],
};

export function hasCoreLimit(ruleSet: RuleSetId, food: Food): boolean {
  return !NO_CORE_LIMIT[ruleSet].includes(food);
}
