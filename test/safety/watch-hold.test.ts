import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { QUALITIES } from '../../server/contract/reading.ts';
import { coldLimit, hotLimit } from '../../server/safety/limits.ts';
import { watchHold, type HoldQuestion } from '../../server/safety/watch-hold.ts';
import { atMin, atS, sampled, START_MS, trace } from './trace.ts';

function ask(q: Partial<HoldQuestion> & Pick<HoldQuestion, 'readings'> & { nowS: number }) {
  const { nowS, ...rest } = q;
  return watchHold({
    spotChecks: [],
    limit: coldLimit('uk'),
    silentAfterMs: 60_000,
    nowMs: atS(nowS),
    ...rest,
  });
}

describe('a cold hold', () => {
  it('is within at the limit and outside above it (SI 2013/2996 Sch. 4 para 2: above 8 degC)', () => {
    expect(ask({ readings: trace([0, 8]), nowS: 0 }).state).toBe('within');
    expect(ask({ readings: trace([0, 8.1]), nowS: 0 }).state).toBe('outside');
  });

  it('counts an excursion from its first reading outside to now', () => {
    const readings = trace([0, 7.9], [30, 8.2], [60, 8.4], [90, 9.1]);
    expect(ask({ readings, nowS: 100 })).toMatchObject({
      state: 'outside',
      valueC: 9.1,
      atMs: atS(90),
      outsideSinceMs: atS(30),
      outsideMs: 70_000,
      totalOutsideMs: 70_000,
      worstC: 9.1,
      unknownSinceMs: null,
      clearSinceMs: null,
      suspect: false,
    });
  });

  it('ends an excursion with the first good reading inside and keeps the total', () => {
    const readings = trace([0, 9], [30, 9.5], [60, 7], [90, 8.5], [120, 6]);
    expect(ask({ readings, nowS: 130 })).toMatchObject({
      state: 'within',
      outsideSinceMs: null,
      outsideMs: 0,
      totalOutsideMs: 90_000,
      worstC: 9.5,
    });
  });

  it('is not outside for long enough when it comes in spikes', () => {
    // On-delay 60 s; spikes of 10 and 50 s: at no moment has an excursion lasted a minute.
    const readings = trace([0, 4], [10, 9], [20, 4], [30, 9], [60, 9], [80, 4]);
    for (let nowS = 0; nowS <= 100; nowS += 1) {
      const heard = readings.filter(({ atMs }) => atMs <= atS(nowS));
      expect(ask({ readings: heard, nowS }).outsideMs).toBeLessThan(60_000);
    }
  });
});

describe('a hot hold', () => {
  it('is within at the limit and outside below it (WSI 2006/31 Sch. 4 para 6: below 63 degC)', () => {
    const limit = hotLimit('uk');
    expect(ask({ readings: trace([0, 63]), nowS: 0, limit }).state).toBe('within');
    expect(ask({ readings: trace([0, 62.9]), nowS: 0, limit }).state).toBe('outside');
  });

  it('keeps the lowest as the worst', () => {
    const readings = trace([0, 70], [30, 61.5], [60, 66]);
    expect(ask({ readings, nowS: 60, limit: hotLimit('uk') })).toMatchObject({
      worstC: 61.5,
      totalOutsideMs: 30_000,
    });
  });
});

describe('unknown is never fine', () => {
  it('knows nothing without readings', () => {
    expect(ask({ readings: [], nowS: 0 })).toEqual({
      state: 'unknown',
      valueC: null,
      atMs: null,
      outsideSinceMs: null,
      outsideMs: 0,
      totalOutsideMs: 0,
      worstC: null,
      unknownSinceMs: null,
      clearSinceMs: null,
      suspect: false,
    });
  });

  it('is unknown after a silence, from the last reading on', () => {
    const readings = trace([0, 4]);
    expect(ask({ readings, nowS: 60 }).state).toBe('within');
    expect(ask({ readings, nowS: 61 })).toMatchObject({
      state: 'unknown',
      unknownSinceMs: atS(0),
      clearSinceMs: null,
      valueC: 4,
      atMs: atS(0),
    });
  });

  it('counts a silence that began outside as outside, and does not end the excursion', () => {
    const readings = trace([0, 9]);
    expect(ask({ readings, nowS: 600 })).toMatchObject({
      state: 'unknown',
      outsideSinceMs: atS(0),
      outsideMs: 600_000,
      totalOutsideMs: 600_000,
    });
    const backInside = trace([0, 9], [600, 5]);
    expect(ask({ readings: backInside, nowS: 600 })).toMatchObject({
      state: 'within',
      outsideSinceMs: null,
      totalOutsideMs: 600_000,
    });
  });

  it('does not count a silence that began inside as outside', () => {
    const readings = trace([0, 5], [600, 9]);
    expect(ask({ readings, nowS: 610 })).toMatchObject({ outsideSinceMs: atS(600), totalOutsideMs: 10_000 });
  });

  it.each([NaN, Infinity, -Infinity])('takes no notice of a reading of %d', (tempC) => {
    expect(ask({ readings: trace([0, tempC]), nowS: 0 }).state).toBe('unknown');
    expect(ask({ readings: trace([0, 9], [10, tempC]), nowS: 10 })).toMatchObject({
      state: 'outside',
      valueC: 9,
    });
    expect(ask({ readings: trace([0, 4], [10, tempC]), nowS: 61 }).state).toBe('unknown');
  });

  it.each([4, 9] as const)('quality %d never changes the state and does not break a silence', (quality) => {
    expect(ask({ readings: trace([0, 4], [10, 30, quality]), nowS: 10 }).state).toBe('within');
    expect(ask({ readings: trace([0, 9], [10, 4, quality]), nowS: 10 }).state).toBe('outside');
    expect(ask({ readings: trace([0, 4], [50, 4, quality]), nowS: 61 }).state).toBe('unknown');
  });

  it('takes no notice of a reading from the future', () => {
    const readings = trace([0, 9], [3600, 4]);
    expect(ask({ readings, nowS: 30 })).toMatchObject({ state: 'outside', valueC: 9 });
    expect(ask({ readings: trace([3600, 4]), nowS: 30 }).state).toBe('unknown');
  });

  it('never gives a negative time for a clock a few seconds ahead', () => {
    expect(ask({ readings: trace([4, 9]), nowS: 0 })).toMatchObject({
      state: 'outside',
      outsideMs: 0,
      totalOutsideMs: 0,
    });
  });

  it('holds a time that is no number to be no reading', () => {
    expect(ask({ readings: trace([NaN, 4]), nowS: 0 }).state).toBe('unknown');
  });
});

describe('a suspect reading', () => {
  it('may raise', () => {
    expect(ask({ readings: trace([0, 4], [10, 12, 3]), nowS: 10 })).toMatchObject({
      state: 'outside',
      outsideSinceMs: atS(10),
      suspect: true,
    });
  });

  it('never clears', () => {
    expect(ask({ readings: trace([0, 9], [10, 4, 3]), nowS: 10 })).toMatchObject({
      state: 'outside',
      valueC: 9,
      suspect: true,
      clearSinceMs: null,
    });
  });

  it('inside is not a sign of life: the last good reading grows old', () => {
    const suspects = sampled({ fromS: 10, toS: 120, stepS: 10, quality: 3 }, () => 4);
    expect(ask({ readings: [...trace([0, 4]), ...suspects], nowS: 120 }).state).toBe('unknown');
    expect(ask({ readings: suspects, nowS: 120 })).toMatchObject({
      state: 'unknown',
      valueC: null,
      suspect: true,
    });
  });

  it('outside keeps an excursion going', () => {
    const suspects = sampled({ fromS: 10, toS: 120, stepS: 10, quality: 3 }, () => 9);
    expect(ask({ readings: [...trace([0, 9]), ...suspects], nowS: 120 })).toMatchObject({
      state: 'outside',
      outsideMs: 120_000,
    });
  });

  it('is overruled by the next good one', () => {
    expect(ask({ readings: trace([0, 4], [10, 12, 3], [20, 4]), nowS: 20 })).toMatchObject({
      state: 'within',
      suspect: false,
    });
  });

  it('a reading that was not evaluated counts as good', () => {
    expect(ask({ readings: trace([0, 9], [10, 4, 2]), nowS: 10 }).state).toBe('within');
  });
});

describe('a check by hand', () => {
  const hand = (seconds: number, tempC: number) => ({ atMs: atS(seconds), tempC });

  it('stands in for a probe that is silent', () => {
    expect(ask({ readings: trace([0, 4]), spotChecks: [hand(300, 5)], nowS: 320 })).toMatchObject({
      state: 'within',
      valueC: 5,
      atMs: atS(300),
    });
    expect(ask({ readings: [], spotChecks: [hand(300, 9)], nowS: 320 }).state).toBe('outside');
  });

  it('grows old like a reading', () => {
    expect(ask({ readings: [], spotChecks: [hand(0, 5)], nowS: 61 }).state).toBe('unknown');
  });

  it('outside counts beside a probe that says inside', () => {
    expect(ask({ readings: trace([0, 4]), spotChecks: [hand(5, 11)], nowS: 6 }).state).toBe('outside');
  });

  it('inside does not overrule a probe that is heard and says outside', () => {
    const readings = sampled({ fromS: 0, toS: 100, stepS: 10 }, () => 9);
    expect(ask({ readings, spotChecks: [hand(55, 4), hand(101, 4)], nowS: 102 })).toMatchObject({
      state: 'outside',
      outsideSinceMs: atS(0),
    });
  });

  it('inside counts when the probe was outside before but has read inside since', () => {
    const readings = trace([0, 9], [10, 7]);
    expect(ask({ readings, spotChecks: [hand(15, 6)], nowS: 16 })).toMatchObject({
      state: 'within',
      valueC: 6,
    });
  });

  it('of no number says nothing', () => {
    expect(ask({ readings: [], spotChecks: [hand(0, NaN)], nowS: 0 }).state).toBe('unknown');
  });
});

describe('since when it has been clear', () => {
  const clear = (nowS: number, readings: HoldQuestion['readings']) =>
    ask({ readings, nowS, deadbandC: 0.5 }).clearSinceMs;

  it('is the first reading inside by the deadband after which all were', () => {
    expect(clear(90, trace([0, 9], [30, 7.5], [60, 7.4], [90, 7]))).toBe(atS(30));
    expect(clear(90, trace([0, 9], [30, 7.5], [60, 7.6], [90, 7]))).toBe(atS(90));
    expect(clear(30, trace([0, 9], [30, 7.51]))).toBeNull();
  });

  it('starts afresh after a silence', () => {
    expect(clear(210, trace([0, 5], [30, 5], [200, 5], [210, 5]))).toBe(atS(200));
  });

  it('is not the case while the probe is silent', () => {
    expect(clear(100, trace([0, 5]))).toBeNull();
  });

  it('works upward for a hot hold', () => {
    const readings = trace([0, 62], [30, 63.5], [60, 64], [90, 65]);
    expect(ask({ readings, nowS: 90, limit: hotLimit('uk'), deadbandC: 1 }).clearSinceMs).toBe(atS(60));
  });

  it('needs no deadband', () => {
    expect(ask({ readings: trace([0, 8]), nowS: 0 }).clearSinceMs).toBe(atS(0));
  });
});

describe('what a caller may not ask', () => {
  it.each([0, -1, NaN])('a silence after %d ms', (silentAfterMs) => {
    expect(() => ask({ readings: [], nowS: 0, silentAfterMs })).toThrow(RangeError);
  });
  it('now is no number', () => {
    expect(() => ask({ readings: [], nowS: NaN })).toThrow(/nowMs/);
  });
  it('readings that do not ascend', () => {
    expect(() => ask({ readings: trace([10, 4], [0, 4]), nowS: 10 })).toThrow(/readings: expected ascending/);
  });
});

describe('whatever comes in', () => {
  const reading = fc.record({
    gapS: fc.integer({ min: 0, max: 200 }),
    tempC: fc.oneof(fc.double({ min: -5, max: 20, noNaN: true }), fc.constant(NaN)),
    quality: fc.constantFrom(...QUALITIES),
  });

  it('is within only on a good, fresh reading inside the limit, and never outside without one outside', () => {
    fc.assert(
      fc.property(fc.array(reading, { maxLength: 30 }), fc.integer({ min: 0, max: 300 }), (rows, waitS) => {
        let atMs = START_MS;
        const readings = rows.map(({ gapS, tempC, quality }) => ({
          atMs: (atMs += gapS * 1000),
          tempC,
          quality,
        }));
        const nowMs = atMs + waitS * 1000;
        const verdict = watchHold({
          readings,
          spotChecks: [],
          limit: coldLimit('uk'),
          silentAfterMs: 60_000,
          nowMs,
        });
        const usable = readings.filter(({ quality, tempC }) => quality <= 3 && Number.isFinite(tempC));
        if (verdict.state === 'within') {
          expect(usable.some((r) => r.quality !== 3 && r.tempC <= 8 && nowMs - r.atMs <= 60_000)).toBe(true);
        }
        if (verdict.outsideSinceMs !== null) {
          expect(usable.some((r) => r.tempC > 8 && r.atMs === verdict.outsideSinceMs)).toBe(true);
        }
        expect(verdict.totalOutsideMs).toBeGreaterThanOrEqual(verdict.outsideMs);
        expect(verdict.totalOutsideMs).toBeLessThanOrEqual(nowMs - START_MS);
      }),
    );
  });

  it('a worse last reading never makes a better verdict', () => {
    const rank = { within: 0, unknown: 1, outside: 2 } as const;
    fc.assert(
      fc.property(
        fc.double({ min: -5, max: 20, noNaN: true }),
        fc.double({ min: 0, max: 20, noNaN: true }),
        (tempC, more) => {
          const state = (lastC: number) => ask({ readings: trace([0, 5], [10, lastC]), nowS: 10 }).state;
          expect(rank[state(tempC + more)]).toBeGreaterThanOrEqual(rank[state(tempC)]);
        },
      ),
    );
  });

  it('judges three hours of readings of five seconds in well under 20 ms', () => {
    const readings = sampled({ fromS: 0, toS: 10_800, stepS: 5 }, (s) => 4 + Math.sin(s / 600) * 5);
    const from = performance.now();
    for (let i = 0; i < 20; i += 1) {
      watchHold({
        readings,
        spotChecks: [],
        limit: coldLimit('uk'),
        silentAfterMs: 60_000,
        nowMs: atMin(180),
      });
    }
    expect((performance.now() - from) / 20).toBeLessThan(20);
  });
});
