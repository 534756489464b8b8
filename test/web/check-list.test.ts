import { describe, expect, it } from 'vitest';
import { FOODS, RULE_SETS } from '../../server/contract/food.ts';
import type { Food, RuleSetId } from '../../server/contract/food.ts';
import { coldLimit, coreLimit, hotLimit } from '../../server/safety/limits.ts';
import { RULE_SET_WORDS } from '../../web/food-words.ts';
import { checkPlan as checkPlanAt } from '../../web/views/plan/check-list.ts';
import type { CheckItem } from '../../web/views/plan/check-list.ts';
import { coreLimitOf } from '../../web/views/plan/core-limits.ts';
import type { SensorView } from '../../server/contract/probe.ts';
import { FIVE_PM_MS, MIN_MS, aBatch, aCookout, aDetail, aDish, aPlace, aSensor } from '../support/plans.ts';

const checkPlan = (
  detail: Parameters<typeof checkPlanAt>[0],
  nowMs = FIVE_PM_MS,
  sensors: readonly SensorView[] = [],
) => checkPlanAt(detail, sensors, nowMs);
const kinds = (items: readonly CheckItem[]): string[] => items.map(({ kind }) => kind);

describe('the check list of a plan', () => {
  it('is empty when everything has a probe, a place, a serving time and a limit', () => {
    expect(checkPlan(aDetail())).toEqual([]);
  });

  it('says that a batch has no probe, and what that means', () => {
    const items = checkPlan(aDetail({ batches: [aBatch({ sensorId: null })] }));
    expect(kinds(items)).toEqual(['no-probe']);
    expect(items[0]?.text).toBe('No probe: timed by the clock until you check it by hand.');
  });

  it('names a probe that failed or never had its check, where it is used', () => {
    const sensors = [
      aSensor({ standing: 'never' }),
      aSensor({ id: 'bag', standing: 'failed' }),
      aSensor({ id: 'spare', standing: 'never' }),
    ];
    const cooler = aPlace({ id: 'bag', kind: 'cooler', name: 'Raw meat bag', sensorIds: ['bag'] });
    const items = checkPlan(aDetail({ places: [cooler] }), FIVE_PM_MS, sensors);
    expect(items.map(({ kind, subject, text }) => [kind, subject, text])).toEqual([
      ['unchecked-probe', 'Probe core-1', 'Never checked: try it in ice water.'],
      ['unchecked-probe', 'Probe bag', 'Failed its check.'],
    ]);
    expect(checkPlan(aDetail(), FIVE_PM_MS, [aSensor({ standing: 'passed' })])).toEqual([]);
  });

  it('says that cheese has no limit under any rule set', () => {
    for (const ruleSet of RULE_SETS) {
      const detail = aDetail({ cookout: aCookout({ ruleSet }), dishes: [aDish({ food: 'cheese' })] });
      expect(kinds(checkPlan(detail))).toEqual(['no-limit']);
    }
  });

  it('says that a batch has no serving time, also when its serving was taken out', () => {
    for (const serveId of [null, 'gone']) {
      const items = checkPlan(aDetail({ batches: [aBatch({ serveId })] }));
      expect(kinds(items)).toEqual(['no-serving']);
    }
  });

  it('says that a cooler and a pot without a probe are not watched', () => {
    const places = [
      aPlace({ kind: 'cooler', name: 'Raw meat bag' }),
      aPlace({ id: 'pot', kind: 'pot', name: 'Barley pot' }),
    ];
    expect(checkPlan(aDetail({ places })).map(({ subject }) => subject)).toEqual([
      'Raw meat bag',
      'Barley pot',
    ]);
  });

  it('says that a probe is planned in two things, until the first is served', () => {
    const second = aBatch({ id: 'thighs-2', label: '2nd', serveId: 'second' });
    expect(kinds(checkPlan(aDetail({ batches: [aBatch(), second] })))).toEqual(['shared-probe']);
    expect(kinds(checkPlan(aDetail({ batches: [aBatch({ status: 'served' }), second] })))).toEqual([]);
  });

  it('says that there is nothing to cook, and nothing to cook it for', () => {
    const detail = aDetail({ cookout: aCookout({ serves: [] }), dishes: [], batches: [] });
    expect(kinds(checkPlan(detail))).toEqual(['no-serving', 'missing']);
  });
});

describe('times and targets that cannot be meant so', () => {
  it('names a serving in the past, unless all of it was served', () => {
    const late = FIVE_PM_MS + 91 * MIN_MS;
    expect(checkPlan(aDetail(), late)).toMatchObject([
      {
        kind: 'odd-serving',
        subject: 'Serving at 18:30',
        text: 'In the past: nothing can be ready for it.',
      },
    ]);
    expect(checkPlan(aDetail({ batches: [aBatch({ status: 'served' })] }), late)).toEqual([]);
  });

  it('names two servings at the same minute, but not two a minute apart', () => {
    const serves = (gapMs: number) =>
      ['first', 'second'].map((id, index) => ({ id, atMs: FIVE_PM_MS + 90 * MIN_MS + index * gapMs }));
    const items = checkPlan(aDetail({ cookout: aCookout({ serves: serves(0) }) }));
    expect(items.map(({ text }) => text)).toEqual(['Two servings at the same minute.']);
    expect(checkPlan(aDetail({ cookout: aCookout({ serves: serves(MIN_MS) }) }))).toEqual([]);
  });

  it('names a target below the core limit, in the words of its source', () => {
    const items = checkPlan(aDetail({ dishes: [aDish({ targetC: 65 })] }));
    expect(items.map(({ text }) => text)).toEqual([
      'To come off at 65°. The limit is 70 °C for 2 min: it is not called ready before that.',
    ]);
    expect(checkPlan(aDetail({ dishes: [aDish({ targetC: 70 })] }))).toEqual([]);
  });
});

function shownLimit(ruleSet: RuleSetId, food: Food): { tempC: number; text: string } | null {
  const limit = coreLimit(ruleSet, food);
  return limit === null ? null : { tempC: limit.rows[0].tempC, text: limit.rows[0].native.text };
}

describe('what the plan says about limits', () => {
  it('agrees with the watch on every food of every rule set', () => {
    for (const ruleSet of RULE_SETS)
      for (const food of FOODS)
        expect([ruleSet, food, coreLimitOf(ruleSet, food)]).toEqual([
          ruleSet,
          food,
          shownLimit(ruleSet, food),
        ]);
  });

  it('names the cold and hot limits that the watch keeps, in the words of their source', () => {
    for (const ruleSet of RULE_SETS) {
      const gist = RULE_SET_WORDS[ruleSet].gist.replaceAll('\u00a0', ' ');
      for (const { native } of [coldLimit(ruleSet), hotLimit(ruleSet)]) expect(gist).toContain(native.text);
    }
  });
});
