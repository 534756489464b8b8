import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Reading } from '../../server/contract/reading.ts';
import { displacedProbe, type ProbeHome } from '../../server/safety/displaced.ts';
import { atMin, atS, sampled, START_MS, trace } from './trace.ts';

const MIN_S = 60;
/** First order: 63.2 % of the way after `tauS` seconds (a sheathed sensor as its makers specify it). */
const towards = (q: { fromC: number; toC: number; tauS: number; sinceS: number }) => (seconds: number) =>
  q.toC + (q.fromC - q.toC) * Math.exp(-Math.max(0, seconds - q.sinceS) / q.tauS);
type Piece = { toMin: number; tempC: (seconds: number) => number };
/** Pieces one after another, a reading every `everyS` seconds. */
function told(everyS: number, ...pieces: readonly Piece[]): Reading[] {
  let fromS = 0;
  return pieces.flatMap(({ toMin, tempC }) => {
    const readings = sampled({ fromS, toS: toMin * MIN_S - everyS, stepS: everyS }, tempC);
    fromS = toMin * MIN_S;
    return readings;
  });
}
const now = (readings: readonly Reading[], home: ProbeHome) => displacedProbe(readings, home, START_MS).now;
const suspects = (readings: readonly Reading[], home: ProbeHome): number =>
  displacedProbe(readings, home, START_MS).marked.filter((r) => r.quality === 3).length;
const rising = (seconds: number): number => 5 + seconds / 15; // 4 degC a minute

describe.each([1, 5, 10])('a core probe, with a reading every %d s', (everyS) => {
  it('that comes out of hot food is out, from when and by how much', () => {
    const out = told(
      everyS,
      { toMin: 15, tempC: rising },
      { toMin: 18, tempC: towards({ fromC: 65, toC: 15, tauS: 20, sinceS: 15 * MIN_S }) },
    );
    const found = now(out, 'core');
    expect(Math.abs(found!.sinceMs - atMin(15))).toBeLessThanOrEqual(10_000);
    expect(found!.byC).toBeGreaterThan(45);
    expect(found!.byC).toBeLessThan(51);
    expect(found!.inMs).toBeGreaterThan(30_000);
  });

  it('that slips out towards the fire is out: it rose', () => {
    const out = told(
      everyS,
      { toMin: 8, tempC: rising },
      { toMin: 10, tempC: towards({ fromC: 37, toC: 95, tauS: 15, sinceS: 8 * MIN_S }) },
    );
    expect(now(out, 'core')!.byC).toBeLessThan(-40);
  });

  it('that was put back where it was is in again', () => {
    const back = told(
      everyS,
      { toMin: 10, tempC: rising },
      { toMin: 12, tempC: towards({ fromC: 45, toC: 15, tauS: 15, sinceS: 10 * MIN_S }) },
      { toMin: 14, tempC: towards({ fromC: 15, toC: 50, tauS: 10, sinceS: 12 * MIN_S }) },
    );
    expect(
      now(
        back.slice(
          0,
          back.findIndex((r) => r.atMs >= atMin(11.9)),
        ),
        'core',
      ),
    ).not.toBeNull();
    expect(now(back, 'core')).toBeNull();
  });

  it('that lies in the open stays out for as long as it does', () => {
    const lies = told(
      everyS,
      { toMin: 10, tempC: rising },
      { toMin: 60, tempC: towards({ fromC: 45, toC: 21, tauS: 20, sinceS: 10 * MIN_S }) },
    );
    expect(now(lies, 'core')).not.toBeNull();
  });

  it('in a colder place of the food is in when it has risen like food for long enough', () => {
    const moved = (toMin: number) =>
      told(
        everyS,
        { toMin: 10, tempC: rising },
        { toMin: 11, tempC: towards({ fromC: 45, toC: 32, tauS: 6, sinceS: 10 * MIN_S }) },
        { toMin, tempC: (s) => 32 + (s - 11 * MIN_S) / 15 },
      );
    expect(now(moved(12), 'core')).not.toBeNull();
    expect(now(moved(16), 'core')).toBeNull();
  });

  it('in food that does what food can do is in: 16 degC a minute up, 3 down', () => {
    const fast = told(everyS, { toMin: 5, tempC: (s) => 5 + (16 * s) / 60 });
    expect(suspects(fast, 'core')).toBe(0);
    const rest = told(everyS, { toMin: 10, tempC: (s) => 75 - (3 * s) / 60 });
    expect(suspects(rest, 'core')).toBe(0);
  });
});

describe('a probe that is being put in', () => {
  it('takes on the temperature of the food in the first minute and a half, and that says nothing', () => {
    const fresh = told(5, { toMin: 10, tempC: (s) => 5 + s / 30 + 20 * Math.exp(-s / 12) });
    expect(suspects(fresh, 'core')).toBe(0);
  });
});

describe('a probe in a cooler', () => {
  const cold = { toMin: 20, tempC: () => 4 };

  it('that is lifted out rises as no bag does, and is back when it reads what it read', () => {
    const lifted = { toMin: 23, tempC: towards({ fromC: 4, toC: 26, tauS: 25, sinceS: 20 * MIN_S }) };
    const back = { toMin: 26, tempC: towards({ fromC: 26, toC: 4.2, tauS: 20, sinceS: 23 * MIN_S }) };
    expect(now(told(10, cold, lifted), 'cooler')!.byC).toBeLessThan(-19);
    expect(now(told(10, cold, lifted, back), 'cooler')).toBeNull();
  });

  it('that is put on ice falls as no bag does: what it reads then is marked as suspect', () => {
    const warm = { toMin: 20, tempC: () => 12 };
    const ice = { toMin: 22, tempC: towards({ fromC: 12, toC: 0.2, tauS: 15, sinceS: 20 * MIN_S }) };
    const { marked, now: seen } = displacedProbe(told(10, warm, ice), 'cooler');
    expect(seen!.byC).toBeGreaterThan(8);
    expect(marked.filter((r) => r.tempC < 8).every((r) => r.quality === 3)).toBe(true);
  });

  it('in a bag that warms at 3 degC a minute with its lid open is in', () => {
    expect(suspects(told(10, { toMin: 5, tempC: (s) => 4 + s / 20 }), 'cooler')).toBe(0);
  });
});

describe('a probe in a pot', () => {
  it('that is taken out falls as no pot does, and stays out while it lies beside it', () => {
    const out = told(
      10,
      { toMin: 20, tempC: () => 75 },
      { toMin: 25, tempC: towards({ fromC: 75, toC: 18, tauS: 30, sinceS: 20 * MIN_S }) },
    );
    expect(now(out, 'pot')!.byC).toBeGreaterThan(50);
  });
});

describe('what is no displacement', () => {
  it('is one odd reading, whatever it is', () => {
    for (const odd of [-20, 99]) {
      expect(suspects(trace([0, 50], [120, 55], [125, odd], [130, 55.2], [135, 55.3]), 'core')).toBe(0);
    }
  });

  it('is what the quality tests have marked already', () => {
    const rows = trace([0, 4], [120, 4], [125, 34, 3], [130, 34, 3], [135, 4], [140, 4]);
    expect(displacedProbe(rows, 'cooler').now).toBeNull();
  });

  it('is what food can do between two readings that are far apart', () => {
    expect(suspects(trace([0, 5], [300, 30], [600, 60], [900, 75]), 'core')).toBe(0);
  });

  it('but a fall that it cannot do is one there too', () => {
    const rows = trace([0, 60], [300, 65], [600, 20], [900, 19]);
    expect(now(rows, 'core')).toMatchObject({ sinceMs: atS(300), byC: 46 });
  });
});

describe('marking', () => {
  it('keeps every reading and its value, and makes none better', () => {
    const anyRow = fc.record({
      stepS: fc.integer({ min: 1, max: 400 }),
      tempC: fc.double({ min: -40, max: 300, noNaN: true }),
      quality: fc.constantFrom(1, 2, 3, 4, 9),
    });
    fc.assert(
      fc.property(
        fc.array(anyRow, { maxLength: 80 }),
        fc.constantFrom<ProbeHome>('core', 'cooler', 'pot'),
        (rows, home) => {
          let seconds = 0;
          const readings = rows.map(({ stepS, tempC, quality }): Reading => {
            seconds += stepS;
            return { atMs: atS(seconds), tempC, quality };
          });
          const { marked } = displacedProbe(readings, home);
          expect(marked.map(({ atMs, tempC }) => [atMs, tempC])).toEqual(
            readings.map(({ atMs, tempC }) => [atMs, tempC]),
          );
          marked.forEach((r, i) => expect(r.quality).toBeGreaterThanOrEqual(readings[i]!.quality));
        },
      ),
      { numRuns: 300 },
    );
  });

  it('wants readings that ascend', () => {
    expect(() => displacedProbe(trace([10, 4], [0, 4]), 'core')).toThrow(RangeError);
  });
});
