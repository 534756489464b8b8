import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ask, seenRaw } from './ask-core.ts';
import { atS, sampled, trace, type Row } from './trace.ts';

/** A core that has been at one temperature, read every five seconds, and was raw before. */
const steady = (tempC: number, seconds: number, fromS = 0) => seenRaw(held(tempC, seconds, fromS));
const held = (tempC: number, seconds: number, fromS = 0) =>
  sampled({ fromS, toS: fromS + seconds, stepS: 5 }, () => tempC);
const cooked = (...rows: Row[]) => seenRaw(trace(...rows));

describe('UK: 70 degC for 2 minutes or equivalent (FSA table as quoted)', () => {
  it.each([
    [60, 2700],
    [65, 600],
    [70, 120],
    [75, 30],
    [80, 10],
  ])('chicken: %d degC for %d s is met', (tempC, seconds) => {
    expect(ask('uk', 'chicken', { readings: steady(tempC, seconds), nowS: seconds }).state).toBe('met');
  });

  it('chicken: five seconds less than two minutes at 70 degC is not met', () => {
    const verdict = ask('uk', 'chicken', { readings: steady(70, 115), nowS: 115 });
    expect(verdict).toMatchObject({
      state: 'not-met',
      metAtMs: null,
      highestC: 70,
      row: { tempC: 70, holdS: 120 },
    });
    expect(verdict.heldMs).toBeCloseTo(115_000, 3);
  });

  it('is met at the very reading that completes two minutes', () => {
    expect(ask('uk', 'chicken', { readings: steady(70, 300), nowS: 300 }).metAtMs).toBe(atS(120));
  });

  it('mince: 60 degC needs 93 min, not 45 (ACMSF as quoted)', () => {
    expect(ask('uk', 'beef-minced', { readings: steady(60, 2700), nowS: 2700 }).state).toBe('not-met');
    expect(ask('uk', 'beef-minced', { readings: steady(60, 5580), nowS: 5580 }).state).toBe('met');
    expect(ask('uk', 'beef-minced', { readings: steady(65, 840), nowS: 840 }).state).toBe('met');
  });

  it('counts nothing below 60 degC, however long', () => {
    expect(ask('uk', 'chicken', { readings: steady(59.9, 36_000), nowS: 36_000 })).toMatchObject({
      state: 'not-met',
      heldMs: 0,
    });
  });
});

describe('US rows (FDA Food Code 3-401.11)', () => {
  it('poultry is met at the first reading of 165 degF (2017 and later: no hold)', () => {
    const degC = (165 - 32) / 1.8;
    expect(ask('us', 'chicken', { readings: cooked([0, 73], [5, degC]), nowS: 5 })).toMatchObject({
      state: 'met',
      metAtMs: atS(5),
    });
    expect(ask('us', 'chicken', { readings: cooked([0, 73], [5, 73.87]), nowS: 5 }).state).toBe('not-met');
  });

  it('ground beef at 155 degF needs 17 s; 15 s was enough only until 2013', () => {
    const at155 = (seconds: number) =>
      seenRaw(sampled({ fromS: 0, toS: seconds, stepS: 1 }, () => (155 - 32) / 1.8));
    expect(ask('us', 'beef-minced', { readings: at155(15), nowS: 15 }).state).toBe('not-met');
    expect(ask('us', 'beef-minced', { readings: at155(17), nowS: 17 })).toMatchObject({
      state: 'met',
      metAtMs: atS(17),
      row: { id: 'us-core-155' },
    });
  });

  it('any row is enough, and the one that was met first is named', () => {
    // 145 degF for 3 min is complete at 180 s; 150 degF for 1 min only at 255 s.
    const readings = [...steady(63, 180), ...held(64.9, 5, 185), ...held(66, 60, 195)];
    expect(ask('us', 'lamb-minced', { readings, nowS: 255 })).toMatchObject({
      state: 'met',
      metAtMs: atS(180),
      row: { id: 'us-core-145-3' },
    });
  });

  it('names the row that is nearest while none is met', () => {
    expect(ask('us', 'lamb-minced', { readings: steady(63, 120), nowS: 120 })).toMatchObject({
      state: 'not-met',
      heldMs: 120_000,
      row: { id: 'us-core-145-3' },
    });
    expect(ask('us', 'lamb-minced', { readings: steady(50, 120), nowS: 120 })).toMatchObject({
      heldMs: 0,
      row: { id: 'us-core-155' },
    });
  });

  it('a reading below the row starts the hold again', () => {
    const readings = cooked([0, 63], [5, 63], [10, 62.7], [15, 63], [20, 63]);
    expect(ask('us', 'beef', { readings, nowS: 20 })).toMatchObject({ state: 'not-met', heldMs: 5_000 });
  });
});

describe('AU rows (Food Safety Information Council, 2022)', () => {
  it('chicken at 75 degC is met, at 74.9 not', () => {
    expect(ask('au', 'chicken', { readings: cooked([0, 74.5], [5, 75]), nowS: 5 }).state).toBe('met');
    expect(ask('au', 'chicken', { readings: cooked([0, 74.5], [5, 74.9]), nowS: 5 }).state).toBe('not-met');
  });
});

describe('unknown is never fine', () => {
  it('knows nothing without readings', () => {
    expect(ask('uk', 'chicken', { readings: [], nowS: 0 })).toMatchObject({
      state: 'unknown',
      metAtMs: null,
      heldMs: 0,
      highestC: null,
    });
  });

  it('is unknown once the probe is silent and the limit was not met', () => {
    expect(ask('uk', 'chicken', { readings: steady(68, 60), nowS: 120 }).state).toBe('not-met');
    expect(ask('uk', 'chicken', { readings: steady(68, 60), nowS: 121 }).state).toBe('unknown');
  });

  it('stays met after the probe falls silent: that is about the past', () => {
    expect(ask('uk', 'chicken', { readings: steady(72, 120), nowS: 3600 }).state).toBe('met');
  });

  it('credits a silence with nothing', () => {
    const twoReadings = cooked([0, 72], [61, 72]);
    expect(ask('uk', 'chicken', { readings: twoReadings, nowS: 61 })).toMatchObject({
      state: 'not-met',
      heldMs: 0,
    });
    expect(ask('us', 'beef', { readings: twoReadings, nowS: 61 })).toMatchObject({
      state: 'not-met',
      heldMs: 0,
    });
  });

  it('does not grow between readings: 72 degC once and then nothing is no hold', () => {
    const once = cooked([0, 72]);
    expect(ask('uk', 'chicken', { readings: once, nowS: 59 }).heldMs).toBe(0);
  });

  it('credits a suspect reading with nothing on either side', () => {
    const readings = steady(70, 300).map((reading, i) =>
      i % 2 === 0 ? reading : { ...reading, quality: 3 as const },
    );
    expect(ask('uk', 'chicken', { readings, nowS: 300 })).toMatchObject({ state: 'not-met', heldMs: 0 });
    expect(ask('us', 'beef', { readings, nowS: 300 })).toMatchObject({ state: 'not-met', heldMs: 0 });
    expect(ask('au', 'chicken', { readings: trace([0, 80, 3]), nowS: 0 })).toMatchObject({
      state: 'unknown',
      highestC: null,
    });
  });

  it.each([4, 9] as const)('quality %d is no reading', (quality) => {
    expect(ask('au', 'chicken', { readings: cooked([0, 80, quality]), nowS: 0 }).state).toBe('unknown');
  });

  it.each([NaN, Infinity])('a reading of %d is no reading', (tempC) => {
    expect(ask('au', 'chicken', { readings: cooked([0, tempC]), nowS: 0 }).state).toBe('unknown');
    expect(ask('uk', 'chicken', { readings: cooked([0, tempC], [5, tempC]), nowS: 5 }).state).toBe('unknown');
  });

  it('counts nothing from before it went on, and nothing from the future', () => {
    expect(ask('au', 'chicken', { readings: cooked([0, 80]), fromMs: atS(1), nowS: 10 }).state).toBe(
      'unknown',
    );
    expect(ask('au', 'chicken', { readings: cooked([0, 60], [3600, 61]), nowS: 10 })).toMatchObject({
      highestC: 60,
    });
    expect(ask('au', 'chicken', { readings: cooked([3600, 80]), nowS: 10 }).state).toBe('unknown');
  });

  it('takes the tolerance of the probe off before it judges', () => {
    const at = (tempC: number) =>
      ask('au', 'chicken', { readings: cooked([0, tempC]), nowS: 0, toleranceC: 1 });
    expect(at(75.9).state).toBe('not-met');
    expect(at(76)).toMatchObject({ state: 'met', highestC: 76 });
    // One degree off 70 at z 7.5 makes 120 s worth 120/1.3594 s.
    expect(ask('uk', 'chicken', { readings: steady(70, 120), nowS: 120, toleranceC: 1 }).heldMs).toBeCloseTo(
      120_000 / 1.3594,
      -1,
    );
  });
});

describe('a tip that is no longer in the food', () => {
  it('hotter than food gets is credited with nothing', () => {
    const readings = [...steady(60, 60), ...trace([65, 180], [70, 240], [75, 240])];
    expect(ask('au', 'chicken', { readings, nowS: 75 })).toMatchObject({ state: 'not-met', highestC: 60 });
    expect(ask('uk', 'chicken', { readings, nowS: 75 }).state).toBe('not-met');
  });

  it('what is passed on the way up in a leap is credited with nothing', () => {
    const readings = cooked([0, 70], [5, 71], [10, 80], [15, 95], [20, 140]);
    expect(ask('au', 'chicken', { readings, nowS: 20 })).toMatchObject({ state: 'not-met', highestC: 71 });
  });

  it('a whole degree of resolution and a fast but possible rise are not a leap', () => {
    const readings = seenRaw(
      sampled({ fromS: 0, toS: 300, stepS: 5 }, (seconds) => Math.round(50 + (seconds / 60) * 6)),
    );
    expect(ask('au', 'chicken', { readings, nowS: 300 }).state).toBe('met');
    const sparse = cooked([0, 60], [60, 69], [120, 76]);
    expect(ask('au', 'chicken', { readings: sparse, nowS: 120 }).state).toBe('met');
  });
});

describe('what a caller may not ask', () => {
  it.each([-1, NaN])('a tolerance of %d', (toleranceC) => {
    expect(() => ask('uk', 'chicken', { readings: [], nowS: 0, toleranceC })).toThrow(/toleranceC/);
  });
  it('readings that do not ascend, or a now that is no number', () => {
    expect(() => ask('uk', 'chicken', { readings: cooked([10, 4], [0, 4]), nowS: 10 })).toThrow(RangeError);
    expect(() => ask('uk', 'chicken', { readings: [], nowS: NaN })).toThrow(TypeError);
  });
});

describe('whatever comes in', () => {
  it('a silence never makes it met sooner, nor the hold longer', () => {
    const rises = fc.array(fc.double({ min: -1.5, max: 1.5, noNaN: true }), { minLength: 2, maxLength: 60 });
    fc.assert(
      fc.property(
        fc.double({ min: 60, max: 75, noNaN: true }),
        rises,
        fc.nat(59),
        (fromC, steps, silentFrom) => {
          let tempC = fromC;
          const rows = steps.map((rise, i) => ({
            atMs: atS(i * 10),
            tempC: (tempC += rise),
            quality: 1 as const,
          }));
          const readings = seenRaw(rows);
          const withSilence = seenRaw(rows.filter((_, i) => i < silentFrom || i >= silentFrom + 8));
          const nowS = steps.length * 10;
          for (const ruleSet of ['uk', 'us'] as const) {
            const whole = ask(ruleSet, 'pork', { readings, nowS });
            const less = ask(ruleSet, 'pork', { readings: withSilence, nowS });
            expect(less.metAtMs ?? Infinity).toBeGreaterThanOrEqual(whole.metAtMs ?? Infinity);
            expect(less.heldMs).toBeLessThanOrEqual(whole.heldMs + 1e-6);
          }
        },
      ),
    );
  });
});
