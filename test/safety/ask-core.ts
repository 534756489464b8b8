import type { Food, RuleSetId } from '../../server/contract/food.ts';
import type { Reading } from '../../server/contract/reading.ts';
import { coreLimit } from '../../server/safety/limits.ts';
import { watchCore, type CoreQuestion, type CoreVerdict } from '../../server/safety/watch-core.ts';
import { atS, trace } from './trace.ts';

/** Went on ten minutes before second zero. */
export const ON_S = -600;
/** The core as it went on, long enough ago for any temperature since. */
export const seenRaw = (readings: readonly Reading[]): Reading[] => [...trace([ON_S, 12]), ...readings];

export function ask(
  ruleSet: RuleSetId,
  food: Food,
  q: Partial<CoreQuestion> & Pick<CoreQuestion, 'readings'> & { nowS: number },
): CoreVerdict {
  const { nowS, ...rest } = q;
  const limit = coreLimit(ruleSet, food)!;
  return watchCore({
    spotChecks: [],
    fromMs: atS(ON_S),
    limit,
    silentAfterMs: 60_000,
    nowMs: atS(nowS),
    ...rest,
  });
}

export const hand = (seconds: number, tempC: number) => ({ atMs: atS(seconds), tempC });
