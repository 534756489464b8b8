import type { LimitView } from '../contract/board.ts';
import type { Food, RuleSetId } from '../contract/food.ts';
import { AU_LIMITS } from './au-limits.ts';
import type { CoreLimit, HoldLimit, RuleSetLimits, Source } from './limit-types.ts';
import { UK_LIMITS } from './uk-limits.ts';
import { US_LIMITS } from './us-limits.ts';

const LIMITS: Record<RuleSetId, RuleSetLimits> = { uk: UK_LIMITS, us: US_LIMITS, au: AU_LIMITS };

/** The highest temperature at which food may be kept cold under a rule set, degC. */
export function coldLimit(ruleSet: RuleSetId): HoldLimit {
  return LIMITS[ruleSet].cold;
}

/** The lowest temperature at which food may be kept hot under a rule set, degC. */
export function hotLimit(ruleSet: RuleSetId): HoldLimit {
  return LIMITS[ruleSet].hot;
}

/** What the core of a food must reach, or null where the rule set gives no number; then `noCoreLimitReason` says why. */
export function coreLimit(ruleSet: RuleSetId, food: Food): CoreLimit | null {
  const found = LIMITS[ruleSet].core[food];
  return 'rows' in found ? found : null;
}

/** Why a rule set gives no core number for a food; null where it gives one. */
export function noCoreLimitReason(ruleSet: RuleSetId, food: Food): string | null {
  const found = LIMITS[ruleSet].core[food];
  return 'reason' in found ? found.reason : null;
}

/**
 * Where one temperature lies. A reading exactly at the limit is within (UK: "above 8", "below 63"; US and AU: "or colder",
 * "or hotter"). A temperature that is no number is unknown.
 */
export function judgeHold(limit: HoldLimit, tempC: number): 'within' | 'outside' | 'unknown' {
  if (!Number.isFinite(tempC)) return 'unknown';
  return isInsideBy(limit, tempC, 0) ? 'within' : 'outside';
}

/** True when a temperature is inside the limit by at least `marginC` degrees; false for anything that is no number. */
export function isInsideBy(limit: HoldLimit, tempC: number, marginC: number): boolean {
  switch (limit.comparator) {
    case '<=':
      return tempC <= limit.valueC - marginC;
    case '>=':
      return tempC >= limit.valueC + marginC;
  }
}

/** A limit as the screen and the record show it, in the words and unit of its source. */
export function limitView(limit: HoldLimit | CoreLimit): LimitView {
  const shown = 'rows' in limit ? { ...limit.rows[0], valueC: limit.rows[0].tempC } : limit;
  return {
    id: shown.id,
    valueC: shown.valueC,
    kind: shown.kind,
    text: shown.native.text,
    source: sourceText(shown.source),
    status: shown.source.status,
  };
}

function sourceText({ document, clause, edition }: Source): string {
  return `${document}, ${clause} (${edition})`;
}
