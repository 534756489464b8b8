import { describe, expect, it } from 'vitest';
import type { Food, RuleSetId } from '../../server/contract/food.ts';
import { ask, hand, seenRaw } from './ask-core.ts';
import { atS, sampled, trace } from './trace.ts';

const MIN_S = 60;
/** Only checks by hand, judged ten minutes after the last one. */
const byHand = (ruleSet: RuleSetId, food: Food, ...checks: [seconds: number, tempC: number][]) =>
  ask(ruleSet, food, {
    readings: [],
    spotChecks: checks.map(([seconds, tempC]) => hand(seconds, tempC)),
    nowS: (checks.at(-1)?.[0] ?? 0) + 10 * MIN_S,
  });

describe('one check by hand', () => {
  it('of 80 degC or more meets the 80 degC for 6 s of the UK table (FSA as quoted), 75 degC does not', () => {
    expect(byHand('uk', 'chicken', [0, 80])).toMatchObject({ state: 'met', metAtMs: atS(0), highestC: 80 });
    expect(byHand('uk', 'beef-minced', [0, 82]).state).toBe('met');
    const at75 = byHand('uk', 'chicken', [0, 75]);
    expect(at75).toMatchObject({ state: 'unknown', metAtMs: null });
    // 6 s at 75 degC with z 7.5 are worth 6 * 10^(5/7.5) s at 70 degC.
    expect(at75.heldMs).toBeCloseTo(6000 * 10 ** (5 / 7.5), 3);
  });

  it('meets a row that asks for no hold, and not below it', () => {
    expect(byHand('au', 'chicken', [0, 75])).toMatchObject({ state: 'met', metAtMs: atS(0), highestC: 75 });
    expect(byHand('au', 'chicken', [0, 74.9]).state).toBe('not-met');
    // FDA Food Code 3-401.11(A)(3), 2017 and later: 165 degF, no hold.
    expect(byHand('us', 'chicken', [0, (165 - 32) / 1.8]).state).toBe('met');
    expect(byHand('us', 'chicken', [0, 73.8]).state).toBe('not-met');
  });

  it('hot enough but not shown to be held leaves it unknown, however hot: US whole cuts ask for 15 s', () => {
    expect(byHand('us', 'beef', [0, 64])).toMatchObject({ state: 'unknown', metAtMs: null, heldMs: 6000 });
    expect(byHand('us', 'beef', [0, 90]).state).toBe('unknown');
    expect(byHand('us', 'stew', [0, 90]).state).toBe('unknown');
  });

  it('below every row is not met, and stays so', () => {
    expect(byHand('uk', 'chicken', [0, 59])).toMatchObject({ state: 'not-met', highestC: 59 });
    expect(byHand('us', 'beef', [0, 62]).state).toBe('not-met');
  });

  it('is judged with the tolerance taken off', () => {
    const check = (tempC: number) =>
      ask('uk', 'chicken', { readings: [], spotChecks: [hand(0, tempC)], nowS: 0, toleranceC: 1 }).state;
    expect([check(81), check(80), check(60.5)]).toEqual(['met', 'unknown', 'not-met']);
  });

  it('hotter than food gets is not believed', () => {
    expect(byHand('au', 'chicken', [0, 120])).toMatchObject({ state: 'unknown', highestC: null });
    expect(byHand('uk', 'chicken', [0, 120]).state).toBe('unknown');
  });

  it('none at all leaves it unknown', () => {
    expect(byHand('uk', 'chicken')).toMatchObject({ state: 'unknown', highestC: null });
  });
});

describe('two checks by hand', () => {
  it('are credited with the time between them at the cooler of the two', () => {
    // FSA as quoted: 75 degC for 30 s.
    expect(byHand('uk', 'chicken', [0, 75], [30, 75])).toMatchObject({ state: 'met', metAtMs: atS(30) });
    expect(byHand('uk', 'chicken', [0, 75], [10, 75]).state).toBe('unknown');
    expect(byHand('uk', 'chicken', [0, 72], [90, 79])).toMatchObject({ state: 'met' });
    expect(byHand('uk', 'chicken', [0, 65], [90, 79]).state).toBe('unknown');
  });

  it('meet a hold when both are at the row and the hold apart', () => {
    expect(byHand('us', 'beef', [0, 63], [15, 63])).toMatchObject({ state: 'met', metAtMs: atS(15) });
    expect(byHand('us', 'beef', [0, 63], [14, 63]).state).toBe('unknown');
    expect(byHand('us', 'beef', [0, 62], [20, 63]).state).toBe('unknown');
    expect(byHand('us', 'lamb-minced', [0, 63], [180, 63])).toMatchObject({
      state: 'met',
      row: { id: 'us-core-145-3' },
    });
  });

  it('further apart than five minutes say nothing of the time between', () => {
    expect(byHand('us', 'beef', [0, 64], [300, 64]).state).toBe('met');
    expect(byHand('us', 'beef', [0, 64], [301, 64]).state).toBe('unknown');
    expect(byHand('uk', 'chicken', [0, 71], [300, 71]).state).toBe('met');
    expect(byHand('uk', 'chicken', [0, 71], [301, 71]).state).toBe('unknown');
  });

  it('written down twice count once', () => {
    const often = Array.from({ length: 8 }, (): [number, number] => [0, 75]);
    expect(byHand('uk', 'chicken', ...often).heldMs).toBeCloseTo(byHand('uk', 'chicken', [0, 75]).heldMs, 6);
    const inASecond = Array.from({ length: 16 }, (_, i): [number, number] => [i / 16, 75]);
    expect(byHand('uk', 'chicken', ...inASecond).state).toBe('unknown');
    const mixed = inASecond.map(([s], i): [number, number] => [s, i % 2 === 0 ? 60 : 75]);
    expect(byHand('uk', 'chicken', ...mixed).state).toBe('unknown');
  });

  it('put right at once: a good one is enough by itself, whatever was written just before', () => {
    expect(byHand('uk', 'chicken', [0, 28], [2, 82])).toMatchObject({ state: 'met', metAtMs: atS(2) });
  });

  it('the newest decides while it is not met: a cold one raises, a hot one takes back to unknown', () => {
    expect(byHand('uk', 'chicken', [0, 72], [400, 50]).state).toBe('not-met');
    expect(byHand('uk', 'chicken', [0, 50], [400, 72]).state).toBe('unknown');
  });

  it('a good one after a cold one meets the limit, and a cold one afterwards does not take it away', () => {
    expect(byHand('uk', 'chicken', [0, 60], [90, 82])).toMatchObject({ state: 'met', metAtMs: atS(90) });
    expect(byHand('uk', 'chicken', [0, 82], [90, 55]).state).toBe('met');
    expect(byHand('uk', 'chicken', [0, 82], [90, 84])).toMatchObject({ state: 'met', metAtMs: atS(0) });
  });

  it('with one between that is not believed are not joined', () => {
    expect(byHand('us', 'beef', [0, 64], [10, 130], [20, 64]).state).toBe('unknown');
    expect(byHand('uk', 'chicken', [0, 71], [60, 130], [120, 71]).state).toBe('unknown');
  });
});

describe('a check by hand beside a probe', () => {
  const probeAt = (tempC: number, seconds: number) =>
    seenRaw(sampled({ fromS: 0, toS: seconds, stepS: 5 }, () => tempC));

  it('of a hotter spot adds nothing to the row of the probe', () => {
    const readings = probeAt(66, 40);
    const without = ask('uk', 'chicken', { readings, nowS: 40 }).heldMs;
    const spotChecks = [hand(12, 68), hand(22, 68)];
    expect(ask('uk', 'chicken', { readings: [], spotChecks, nowS: 40 }).heldMs).toBeLessThan(without);
    expect(ask('uk', 'chicken', { readings, spotChecks, nowS: 40 }).heldMs).toBeCloseTo(without, 6);
  });

  it('of a colder spot breaks the hold', () => {
    const readings = probeAt(64, 20);
    expect(ask('us', 'beef', { readings, nowS: 20 }).state).toBe('met');
    expect(ask('us', 'beef', { readings, spotChecks: [hand(12, 58)], nowS: 20 }).state).toBe('not-met');
  });

  it('of a colder spot does not make the next reading of the probe a leap', () => {
    const readings = seenRaw(trace([0, 74.5], [10, 75]));
    expect(ask('au', 'chicken', { readings, spotChecks: [hand(5, 60)], nowS: 10 }).state).toBe('met');
  });

  it('counts by itself and does not move what the probe is judged by', () => {
    const readings = seenRaw(trace([0, 60], [10, 60.5], [20, 76]));
    const verdict = ask('au', 'chicken', { readings, spotChecks: [hand(15, 74)], nowS: 20 });
    expect(verdict).toMatchObject({ state: 'not-met', highestC: 74 });
    const checked = ask('au', 'chicken', { readings, spotChecks: [hand(15, 76)], nowS: 20 });
    expect(checked).toMatchObject({ state: 'met', metAtMs: atS(15) });
  });

  it('clears what a probe that was pulled out and lies on the table cannot', () => {
    const readings = [...probeAt(55, 60), ...sampled({ fromS: 65, toS: 300, stepS: 5 }, () => 21)];
    expect(ask('uk', 'chicken', { readings, nowS: 300 }).state).toBe('not-met');
    expect(ask('uk', 'chicken', { readings, spotChecks: [hand(290, 82)], nowS: 300 }).state).toBe('met');
  });

  it('is the newest that is known once the probe is silent', () => {
    const readings = probeAt(64, 20);
    const after = (tempC: number) =>
      ask('uk', 'chicken', { readings, spotChecks: [hand(300, tempC)], nowS: 305 }).state;
    expect(after(72)).toBe('unknown');
    expect(after(58)).toBe('not-met');
    const before = ask('uk', 'chicken', { readings, spotChecks: [hand(-60, 50)], nowS: 305 });
    expect(before.state).toBe('unknown');
  });
});
