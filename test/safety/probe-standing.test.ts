import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { ProbeHistory } from '../../server/contract/probe.ts';
import type { Reading } from '../../server/contract/reading.ts';
import { doubtStretches, doubted, standingOf } from '../../server/safety/probe-standing.ts';
import { aCheck, aCorrection } from '../support/memory-probes.ts';

const DAY_MS = 86_400_000;
const MIN_MS = 60_000;
const passed = (atMs: number, kind: 'ice' | 'boil' = 'ice') => aCheck({ atMs, kind });
const failed = (atMs: number, kind: 'ice' | 'boil' = 'ice') => aCheck({ atMs, kind, outcome: 'failed' });
const book = (
  checks: ProbeHistory['checks'],
  corrections: ProbeHistory['corrections'] = [],
): ProbeHistory => ({ checks, corrections });

describe('how far a probe may be believed', () => {
  it('is never before its first check', () => {
    expect(standingOf(book([]), 0)).toBe('never');
    expect(standingOf(book([], [aCorrection()]), MIN_MS)).toBe('never');
  });

  // weekly and before first use: Morning Advertiser, 2009
  it('is passed for seven days and old after that', () => {
    expect(standingOf(book([passed(0)]), 7 * DAY_MS)).toBe('passed');
    expect(standingOf(book([passed(0)]), 7 * DAY_MS + 1)).toBe('old');
    expect(standingOf(book([passed(0)]), NaN)).toBe('old');
  });

  it('is failed after a failed check, however long ago', () => {
    expect(standingOf(book([passed(0), failed(1)]), 2)).toBe('failed');
    expect(standingOf(book([failed(1)]), 400 * DAY_MS)).toBe('failed');
  });

  it('is restored by a passed check of the same kind, and by no other', () => {
    expect(standingOf(book([failed(1), passed(2)]), 3)).toBe('passed');
    expect(standingOf(book([failed(1, 'ice'), passed(2, 'boil')]), 3)).toBe('failed');
    expect(standingOf(book([failed(1, 'ice'), passed(2, 'boil'), passed(3, 'ice')]), 4)).toBe('passed');
  });

  it('is failed from a correction until a check that was made with it is passed', () => {
    const corrected = [aCorrection({ fromMs: MIN_MS })];
    expect(standingOf(book([failed(0)], corrected), 2 * MIN_MS)).toBe('failed');
    expect(standingOf(book([failed(0), passed(MIN_MS - 1)], corrected), 2 * MIN_MS)).toBe('failed');
    expect(standingOf(book([passed(0)], corrected), 2 * MIN_MS)).toBe('failed');
    expect(standingOf(book([failed(0), passed(MIN_MS)], corrected), 2 * MIN_MS)).toBe('passed');
  });

  it('does not depend on the order in which the book is read', () => {
    const history = book([failed(5), passed(9)], [aCorrection({ fromMs: 7 })]);
    const turned = book(history.checks.toReversed(), history.corrections);
    expect(standingOf(turned, 10)).toBe(standingOf(history, 10));
    expect(doubtStretches(turned)).toEqual(doubtStretches(history));
  });
});

describe('the stretches in which a probe stood as failed', () => {
  it('begin at the failed check and end at the one that was passed', () => {
    expect(doubtStretches(book([passed(0), failed(10), failed(20), passed(30)]))).toEqual([
      { fromMs: 10, toMs: 30 },
    ]);
    expect(doubtStretches(book([failed(10)]))).toEqual([{ fromMs: 10, toMs: null }]);
    expect(doubtStretches(book([passed(10)]))).toEqual([]);
    expect(doubtStretches(book([passed(0), passed(99)], [aCorrection({ fromMs: 50 })]))).toEqual([
      { fromMs: 50, toMs: 99 },
    ]);
  });
});

describe('readings of a probe that failed', () => {
  const readings: Reading[] = [0, 10, 20, 30, 40].map((atMs) => ({ atMs, tempC: 70, quality: 1 }));

  it('are suspect from the failed check on, and those before it are not', () => {
    const marked = doubted(readings, doubtStretches(book([failed(10), passed(30)])));
    expect(marked.map((r) => r.quality)).toEqual([1, 3, 3, 1, 1]);
    expect(readings.every((r) => r.quality === 1)).toBe(true);
  });

  it('never get better than they were', () => {
    const anyQuality = fc.constantFrom(1 as const, 2 as const, 3 as const, 4 as const, 9 as const);
    fc.assert(
      fc.property(
        fc.array(anyQuality),
        fc.array(fc.record({ atMs: fc.nat(50), isPassed: fc.boolean() })),
        (qualities, checks) => {
          const raw = qualities.map((quality, i): Reading => ({ atMs: i, tempC: 5, quality }));
          const history = book(checks.map(({ atMs, isPassed }) => (isPassed ? passed(atMs) : failed(atMs))));
          const marked = doubted(raw, doubtStretches(history));
          expect(marked.map((r) => r.tempC)).toEqual(raw.map((r) => r.tempC));
          marked.forEach((r, i) => expect(r.quality).toBeGreaterThanOrEqual(raw[i]?.quality ?? 0));
        },
      ),
    );
  });

  it('are the very same list when there is no doubt, so that a tick costs nothing', () => {
    expect(doubted(readings, [])).toBe(readings);
    expect(doubted(readings, [{ fromMs: 41, toMs: null }])).toBe(readings);
  });
});
