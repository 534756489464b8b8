import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Food } from '../../server/contract/food.ts';
import type { Reading } from '../../server/contract/reading.ts';
import { credibleCore } from '../../server/safety/credible-core.ts';
import { ask } from './ask-core.ts';
import { atMin, atS, sampled, START_MS, trace } from './trace.ts';

const MIN_S = 60;
type Piece = { toS: number; everyS: number; tempC: (seconds: number) => number };
/** Pieces one after another; each begins one interval after the last one ended. */
function told(...pieces: readonly Piece[]): Reading[] {
  let fromS = 0;
  return pieces.flatMap(({ toS, everyS, tempC }) => {
    const readings = sampled({ fromS, toS, stepS: everyS }, tempC);
    fromS = toS + everyS;
    return readings;
  });
}
/** First order: 63.2 % of the way after `tauS` seconds (a sheathed sensor as its makers specify it). */
const towards = (q: { fromC: number; toC: number; tauS: number; sinceS: number }) => (seconds: number) =>
  q.toC + (q.fromC - q.toC) * Math.exp(-(seconds - q.sinceS) / q.tauS);
const limits = [
  ['uk', 'beef-minced'],
  ['us', 'beef-minced'],
  ['uk', 'chicken'],
  ['us', 'chicken'],
] as const;
const judge = (ruleSet: 'uk' | 'us', food: Food, readings: readonly Reading[]) =>
  ask(ruleSet, food, {
    readings,
    fromMs: START_MS,
    nowS: (readings.at(-1)!.atMs - START_MS) / 1000,
  });
const passing = (readings: readonly Reading[]) =>
  credibleCore(readings).map(({ atMs }) => (atMs - START_MS) / 1000);

describe.each([1, 5, 10])('raw food, with a reading every %d s', (everyS) => {
  it.each(limits)('%s %s: a probe still at 80 degC from the load before counts nothing', (rules, food) => {
    const readings = told(
      { toS: 2 * MIN_S, everyS, tempC: () => 80 },
      { toS: 10 * MIN_S, everyS, tempC: towards({ fromC: 80, toC: 6, tauS: 15, sinceS: 2 * MIN_S }) },
    );
    const verdict = judge(rules, food, readings);
    expect(verdict).toMatchObject({ state: 'not-met', heldMs: 0 });
    expect(verdict.highestC).toBeLessThan(45);
  });

  it.each(limits)('%s %s: a probe that lay on a 200 degC grate counts nothing', (rules, food) => {
    const readings = told(
      { toS: 4 * MIN_S, everyS, tempC: () => 200 },
      { toS: 12 * MIN_S, everyS, tempC: towards({ fromC: 200, toC: 6, tauS: 30, sinceS: 4 * MIN_S }) },
    );
    const verdict = judge(rules, food, readings);
    expect(verdict).toMatchObject({ state: 'not-met', heldMs: 0 });
    expect(verdict.highestC).toBeLessThan(45);
  });

  it.each(limits)(
    '%s %s: a tip that slips out of a 35 degC core into 95 degC air counts nothing',
    (rules, food) => {
      for (const tauS of [1, 20, 50, 90]) {
        const readings = told(
          { toS: 5 * MIN_S, everyS, tempC: (seconds) => 5 + seconds / 10 },
          { toS: 8.5 * MIN_S, everyS, tempC: towards({ fromC: 35, toC: 95, tauS, sinceS: 5 * MIN_S }) },
        );
        const verdict = judge(rules, food, readings);
        expect(verdict).toMatchObject({ metAtMs: null, heldMs: 0 });
        expect(verdict.state).not.toBe('met');
        expect(verdict.highestC).toBeLessThan(60);
      }
    },
  );
});

describe('a core is believed', () => {
  it('once it was seen raw, below 45 degC', () => {
    expect(passing(trace([0, 46], [5, 45], [10, 44.9], [15, 45.2]))).toEqual([10, 15]);
  });

  it('or after three minutes of readings that food can make, from then on', () => {
    const rising = sampled({ fromS: 0, toS: 240, stepS: 10 }, (seconds) => 62 + seconds / 60);
    expect(passing(rising)).toEqual([180, 190, 200, 210, 220, 230, 240]);
    const resting = sampled({ fromS: 0, toS: 200, stepS: 10 }, (seconds) => 80 - (5 * seconds) / 60);
    expect(passing(resting)).toEqual([180, 190, 200]);
  });

  it.each([1, 5, 10])('but not while it falls like a probe that cools, read every %d s', (stepS) => {
    const cooling = towards({ fromC: 95, toC: 50, tauS: 240, sinceS: 0 });
    const readings = sampled({ fromS: 0, toS: 200, stepS }, cooling);
    // 45 degC towards the air in 4 min begins at 11 degC/min.
    expect(passing(readings)).toEqual([]);
  });

  it.each([
    ['a leap up', [90, 75]],
    ['a fall', [90, 55]],
    ['a suspect reading', [90, 66, 3]],
    ['the fire', [90, 140]],
  ] as const)('not sooner than three minutes after %s', (_, odd) => {
    const steady = (fromS: number, toS: number) => sampled({ fromS, toS, stepS: 10 }, () => 66);
    const [first] = passing([...steady(0, 80), ...trace(odd), ...steady(100, 400)]);
    expect(first).toBeGreaterThanOrEqual(90 + 180);
    expect(first).toBeLessThanOrEqual(100 + 180);
  });

  it('a silence ends the three minutes', () => {
    expect(passing(trace([0, 66], [10, 66], [20, 66], [200, 66], [210, 66]))).toEqual([]);
    expect(credibleCore(trace([0, 66], [200, 66]), 60_000)).toEqual([]);
    expect(passing(trace([0, 66], [60, 66], [120, 66], [180, 66]))).toEqual([180]);
  });

  it('failed and missing readings say nothing, and do not end them', () => {
    const steady = sampled({ fromS: 0, toS: 180, stepS: 10 }, () => 66);
    const gaps = steady.map((reading, i): Reading =>
      i === 5 ? { ...reading, tempC: NaN, quality: 9 } : reading,
    );
    expect(passing(gaps)).toEqual([180]);
  });

  it('no longer once it was hotter than food gets: then it has to settle again', () => {
    const readings = [
      ...trace([0, 20], [300, 60]),
      ...sampled({ fromS: 310, toS: 400, stepS: 10 }, () => 140),
      ...sampled({ fromS: 410, toS: 600, stepS: 10 }, () => 64),
    ];
    expect(passing(readings)).toEqual([0, 300, 590, 600]);
  });
});

describe('a leap', () => {
  it('and what follows at that height are not believed until food could have got there', () => {
    const readings = [
      ...sampled({ fromS: 0, toS: 60, stepS: 10 }, () => 35),
      ...sampled({ fromS: 70, toS: 480, stepS: 10 }, () => 95),
    ];
    // 60 degC at 10 degC a minute from the last believed reading at 60 s.
    expect(passing(readings).find((seconds) => seconds > 60)).toBe(60 + 6 * MIN_S);
  });

  it('by way of the fire is held to the same, however steady the air is afterwards', () => {
    const readings = [
      ...sampled({ fromS: 0, toS: 60, stepS: 10 }, () => 35),
      ...sampled({ fromS: 70, toS: 90, stepS: 10 }, () => 140),
      ...sampled({ fromS: 100, toS: 480, stepS: 10 }, () => 95),
    ];
    expect(passing(readings).find((seconds) => seconds > 60)).toBe(60 + 6 * MIN_S);
  });

  it('that is taken back costs only the readings that leapt', () => {
    expect(passing(trace([0, 40], [10, 41], [20, 70], [30, 70], [40, 42], [50, 43]))).toEqual([
      0, 10, 40, 50,
    ]);
  });

  it('a fall passes, and what comes after is judged from there', () => {
    expect(passing(trace([0, 40], [10, 20], [20, 40], [30, 21]))).toEqual([0, 10, 30]);
  });

  it('a probe put in late, 20 to 65 degC in 20 s, is credited some minutes later', () => {
    const readings = told(
      { toS: 20, everyS: 5, tempC: (seconds) => 20 + (45 * seconds) / 20 },
      { toS: 12 * MIN_S, everyS: 5, tempC: (seconds) => 65 + (seconds - 20) / MIN_S },
    );
    const first = passing(readings).find((seconds) => seconds > 5)!;
    expect(first).toBeGreaterThan(4 * MIN_S);
    expect(first).toBeLessThan(6 * MIN_S);
    expect(judge('uk', 'chicken', readings).metAtMs).toBeGreaterThan(atS(first));
    expect(judge('uk', 'chicken', readings).state).toBe('met');
  });
});

describe('what was met', () => {
  it('stays met when the probe is pulled out, falls, or lies in the fire', () => {
    const cook: Piece[] = [
      { toS: 9 * MIN_S, everyS: 5, tempC: (seconds) => 6 + (8 * seconds) / MIN_S },
      { toS: 12 * MIN_S, everyS: 5, tempC: () => 78 },
    ];
    const met = judge('uk', 'beef-minced', told(...cook));
    expect(met.state).toBe('met');
    for (const tempC of [22, 180]) {
      const pulled = judge(
        'uk',
        'beef-minced',
        told(...cook, { toS: 20 * MIN_S, everyS: 5, tempC: () => tempC }),
      );
      expect(pulled).toMatchObject({ state: 'met', metAtMs: met.metAtMs, highestC: 78 });
    }
  });
});

describe('a fast cook', () => {
  /** Raw to 78 degC at up to 10 degC/min, slower towards the end, as thin burgers do (common practice, no source). */
  const burger = (cPerMin: number, fromC: number) => (seconds: number) =>
    Math.min(fromC + (cPerMin * seconds) / MIN_S, 78);

  it('is met within a minute of being well done, with the noise of a probe', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(1, 2, 5, 10, 30),
        fc.double({ min: 2, max: 9.9, noNaN: true }),
        fc.double({ min: 1, max: 20, noNaN: true }),
        fc.array(fc.double({ min: -0.4, max: 0.4, noNaN: true }), { minLength: 7, maxLength: 7 }),
        (stepS, cPerMin, fromC, noise) => {
          const core = burger(cPerMin, fromC);
          const doneS = Math.ceil(((78 - fromC) / cPerMin) * MIN_S);
          const noisy = stepS > 10 ? [0] : noise;
          const readings = sampled({ fromS: 0, toS: doneS + 2 * MIN_S, stepS }, core).map((reading, i) => ({
            ...reading,
            tempC: reading.tempC + noisy[i % noisy.length]!,
          }));
          for (const ruleSet of ['uk', 'us'] as const) {
            const { metAtMs } = judge(ruleSet, 'beef-minced', readings);
            expect(metAtMs).not.toBeNull();
            expect(metAtMs).toBeLessThanOrEqual(atS(doneS + MIN_S));
          }
        },
      ),
    );
  });

  it('at the pace of the thinnest burgers of the layer model, 14.5 degC a minute, passes reading by reading', () => {
    for (const stepS of [1, 2, 5]) {
      const readings = sampled({ fromS: 0, toS: 7 * MIN_S, stepS }, burger(14.5, 5));
      expect(credibleCore(readings)).toEqual(readings);
    }
  });

  it('in whole degrees passes as well', () => {
    const readings = sampled({ fromS: 0, toS: 10 * MIN_S, stepS: 5 }, (s) => Math.round(burger(10, 5)(s)));
    expect(credibleCore(readings)).toEqual(readings);
  });

  it('exactly at the limit passes, whatever the interval', () => {
    for (const stepS of [1, 7, 30, 60]) {
      const readings = sampled({ fromS: 0, toS: 7 * MIN_S, stepS }, burger(10, 7.3));
      expect(credibleCore(readings)).toEqual(readings);
    }
  });
});

describe('whatever comes in', () => {
  const anyReadings = fc.array(
    fc.record({
      gapS: fc.integer({ min: 0, max: 90 }),
      tempC: fc.double({ min: -10, max: 220, noNaN: true }),
      quality: fc.constantFrom(1, 2, 3, 4, 9),
    }),
    { maxLength: 60 },
  );
  const laid = (rows: readonly { gapS: number; tempC: number; quality: Reading['quality'] }[]): Reading[] => {
    let seconds = 0;
    return rows.map(({ gapS, tempC, quality }) => ({ atMs: atS((seconds += gapS)), tempC, quality }));
  };

  it('only readings that came in pass: good or not evaluated, and no hotter than food gets', () => {
    fc.assert(
      fc.property(anyReadings, (rows) => {
        const readings = laid(rows);
        for (const reading of credibleCore(readings)) {
          expect(readings).toContain(reading);
          expect([1, 2]).toContain(reading.quality);
          expect(reading.tempC).toBeLessThanOrEqual(110);
        }
      }),
    );
  });

  it('what comes later changes nothing about what passed', () => {
    fc.assert(
      fc.property(anyReadings, fc.nat(60), (rows, count) => {
        const readings = laid(rows);
        const early = readings.slice(0, count);
        const untilMs = early.at(-1)?.atMs ?? -Infinity;
        const whole = credibleCore(readings, 60_000).filter((r) => early.includes(r));
        expect(whole).toEqual(credibleCore(early, 60_000));
        expect(whole.every(({ atMs }) => atMs <= untilMs)).toBe(true);
      }),
    );
  });

  it('between any two that pass lies no more than food can rise: 15 degC a minute, and 2 degC of noise', () => {
    fc.assert(
      fc.property(anyReadings, (rows) => {
        const passed = credibleCore(laid(rows));
        passed.forEach((late, i) => {
          for (const early of passed.slice(0, i)) {
            const minutes = (late.atMs - early.atMs) / 60_000;
            expect(late.tempC - early.tempC).toBeLessThanOrEqual(15 * minutes + 2 + 1e-6);
          }
        });
      }),
    );
  });

  it('readings that do not ascend are refused', () => {
    expect(() => credibleCore([{ atMs: atMin(1), tempC: 4, quality: 1 }, ...trace([0, 4])])).toThrow(
      RangeError,
    );
  });
});
