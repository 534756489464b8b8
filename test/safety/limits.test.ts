import { describe, expect, it } from 'vitest';
import { FOODS, RULE_SETS } from '../../server/contract/food.ts';
import { LimitViewSchema } from '../../server/contract/board.ts';
import {
  coldLimit,
  coreLimit,
  hotLimit,
  isInsideBy,
  judgeHold,
  limitView,
  noCoreLimitReason,
} from '../../server/safety/limits.ts';

describe('cold and hot limits', () => {
  // UK cold: SI 2013/2996 Sch. 4 para 2(1), above 8 degC is the offence. UK hot: WSI 2006/31 Sch. 4 para 6, below 63 degC.
  // US: FDA Food Code 3-501.16(A), 5 degC (41 degF) or less and 57 degC (135 degF) or above. AU: Standard 3.2.2, 5 or colder, 60 or hotter.
  it.each([
    ['uk', 'cold', 8.0, 'within'],
    ['uk', 'cold', 8.1, 'outside'],
    ['uk', 'hot', 63.0, 'within'],
    ['uk', 'hot', 62.9, 'outside'],
    ['us', 'cold', 5.0, 'within'],
    ['us', 'cold', 5.01, 'outside'],
    ['us', 'hot', 57.0, 'within'],
    ['us', 'hot', 56.99, 'outside'],
    ['au', 'cold', 5.0, 'within'],
    ['au', 'cold', 5.01, 'outside'],
    ['au', 'hot', 60.0, 'within'],
    ['au', 'hot', 59.9, 'outside'],
  ] as const)('%s %s: %d degC is %s', (ruleSet, kind, tempC, expected) => {
    const limit = kind === 'cold' ? coldLimit(ruleSet) : hotLimit(ruleSet);
    expect(judgeHold(limit, tempC)).toBe(expected);
  });

  it('lets a probe pass that shows the printed 41 degF or 135 degF exactly', () => {
    expect(judgeHold(coldLimit('us'), (41 - 32) / 1.8)).toBe('within');
    expect(judgeHold(hotLimit('us'), (135 - 32) / 1.8)).toBe('within');
  });

  it.each([NaN, Infinity, -Infinity])('cannot tell from %d', (tempC) => {
    expect(judgeHold(coldLimit('uk'), tempC)).toBe('unknown');
    expect(judgeHold(hotLimit('uk'), tempC)).toBe('unknown');
  });

  it('counts as inside by a margin what is inside by at least that much, and never what is no number', () => {
    expect(isInsideBy(coldLimit('uk'), 7.5, 0.5)).toBe(true);
    expect(isInsideBy(coldLimit('uk'), 7.51, 0.5)).toBe(false);
    expect(isInsideBy(hotLimit('uk'), 64, 1)).toBe(true);
    expect(isInsideBy(hotLimit('uk'), 63.99, 1)).toBe(false);
    expect(isInsideBy(coldLimit('uk'), NaN, 0)).toBe(false);
    expect(isInsideBy(hotLimit('uk'), NaN, 0)).toBe(false);
  });
});

describe('core limits', () => {
  it('says for every rule set and food either a limit or why there is none, never both', () => {
    for (const ruleSet of RULE_SETS) {
      for (const food of FOODS) {
        const limit = coreLimit(ruleSet, food);
        const reason = noCoreLimitReason(ruleSet, food);
        expect([ruleSet, food, limit === null]).toEqual([ruleSet, food, reason !== null]);
        if (reason !== null) expect(reason.length).toBeGreaterThan(20);
      }
    }
  });

  it.each(['beef', 'lamb', 'fish', 'vegetable', 'cheese'] as const)(
    'has no UK core number for %s',
    (food) => {
      expect(coreLimit('uk', food)).toBeNull();
      expect(noCoreLimitReason('uk', food)).toMatch(/no core number/);
    },
  );

  // Food Safety Information Council (Australia), 2022: mince, sausages, poultry, leftovers 75; pork 70; whole cuts and fish 63.
  it.each([
    ['chicken', 75],
    ['turkey', 75],
    ['lamb-minced', 75],
    ['stew', 75],
    ['pork', 70],
    ['beef', 63],
    ['fish', 63],
  ] as const)('AU: %s at %d degC', (food, tempC) => {
    expect(coreLimit('au', food)?.rows[0]).toMatchObject({ tempC, holdS: 0 });
  });

  // FDA Food Code 3-401.11(A)(1)-(3), 3-403.11(A). Celsius of the printed Fahrenheit: 145 = 62.778, 155 = 68.333, 165 = 73.889.
  it.each([
    ['beef', 145, 15],
    ['fish', 145, 15],
    ['pork-minced', 155, 17],
    ['chicken', 165, 0],
    ['stew', 165, 15],
  ] as const)('US: %s at %d degF for %d s', (food, degF, holdS) => {
    const row = coreLimit('us', food)?.rows[0];
    expect(row).toMatchObject({ holdS, native: { value: degF, unit: 'degF' } });
    const exactC = (degF - 32) / 1.8;
    expect(row?.tempC).toBeLessThanOrEqual(exactC);
    expect(row?.tempC).toBeGreaterThan(exactC - 0.01);
  });

  it('keeps the printed Fahrenheit in the words, not one worked back from the Celsius', () => {
    const poultry = coreLimit('us', 'turkey')!;
    expect(limitView(poultry).text).toBe('165 °F (74 °C)');
    expect(limitView(coreLimit('us', 'lamb-minced')!).text).toBe('155 °F (68 °C) for 17 s');
  });

  it('says that the 17 seconds are from memory', () => {
    expect(limitView(coreLimit('us', 'beef-minced')!).status).toBe('memory');
  });

  // FSA equivalents as quoted: 60/45 min, 65/10 min, 70/2 min, 75/30 s, 80/6 s; ACMSF for E. coli risk food: 60/93 min, 65/14 min.
  it('prints the UK rows as their sources have them', () => {
    const pairs = (food: 'chicken' | 'beef-minced') =>
      coreLimit('uk', food)!.rows.map(({ tempC, holdS }) => [tempC, holdS]);
    expect(pairs('chicken')).toEqual([
      [70, 120],
      [60, 2700],
      [65, 600],
      [75, 30],
      [80, 6],
    ]);
    expect(pairs('beef-minced')).toEqual([
      [70, 120],
      [60, 5580],
      [65, 840],
      [75, 30],
      [80, 6],
    ]);
  });
});

describe('a limit as it is shown', () => {
  it('fits the contract and names its source for every limit there is', () => {
    for (const ruleSet of RULE_SETS) {
      const cores = FOODS.flatMap((food) => coreLimit(ruleSet, food) ?? []);
      for (const limit of [coldLimit(ruleSet), hotLimit(ruleSet), ...cores]) {
        const view = LimitViewSchema.parse(limitView(limit));
        expect(view.source.length).toBeGreaterThan(20);
        expect(view.text).toMatch(/^\d+ °[CF]/);
      }
    }
  });

  it('shows a hold with its kind, number and words', () => {
    expect(limitView(coldLimit('uk'))).toMatchObject({
      id: 'uk-cold',
      kind: 'max',
      valueC: 8,
      text: '8 °C or colder',
      status: 'read',
    });
    expect(limitView(hotLimit('au'))).toMatchObject({
      id: 'au-hot',
      kind: 'min',
      valueC: 60,
      text: '60 °C or hotter',
    });
    expect(limitView(coreLimit('uk', 'chicken')!)).toMatchObject({
      kind: 'core',
      valueC: 70,
      text: '70 °C for 2 min',
    });
  });

  it('gives no two different limits the same name', () => {
    const rows = RULE_SETS.flatMap((ruleSet) =>
      FOODS.flatMap((food) => coreLimit(ruleSet, food)?.rows ?? []),
    );
    const meaning = new Map<string, string>();
    for (const { id, tempC, holdS } of rows) {
      const now = `${String(tempC)}/${String(holdS)}`;
      expect([id, meaning.get(id) ?? now]).toEqual([id, now]);
      meaning.set(id, now);
    }
  });
});
