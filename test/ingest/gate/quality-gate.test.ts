import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { QUALITIES, REASON, reasonNames, type IncomingReading } from '../../../server/contract/reading.ts';
import type { SeatKind } from '../../../server/ports.ts';
import { aReading, Heard, NOW_MS, qualities } from './readings.ts';

const MIN_MS = 60_000;
const reasonsOf = (reading: IncomingReading): string[] => reasonNames(reading.reasons);

describe('what a probe can read where it sits', () => {
  it.each([
    ['core', 131, 4],
    ['core', 115, 3],
    ['core', 75, 1],
    ['cooler', 61, 4],
    ['cooler', 45, 3],
    ['cooler', 4, 1],
    ['pot', 140, 4],
    ['zone', 250, 1],
    ['zone', 500, 3],
    ['zone', 700, 4],
    ['bench', 80, 4],
    [null, 250, 1],
    [null, -127, 4],
    ['core', NaN, 4],
  ] as const)('%s at %d degC is %d', (seat, tempC, quality) => {
    const reading = new Heard(seat).next(tempC);
    expect(reading.quality).toBe(quality);
    expect(reasonsOf(reading)).toEqual(quality === 1 ? [] : ['gross']);
  });

  it('is judged by the seat it has now, and nothing of the seat before counts', () => {
    const heard = new Heard('zone');
    expect(qualities(heard.row(220, 221, 219))).toEqual([1, 1, 1]);
    heard.seat = 'core';
    expect(qualities(heard.row(6, 6.1))).toEqual([1, 1]);
  });
});

describe('a spike', () => {
  it.each([1, 3, 6])('of one reading is found among %d before it, and the next one is good', (before) => {
    const heard = new Heard('core');
    heard.row(...Array.from({ length: before }, (_, i) => 60 + i / 10));
    expect(heard.next(85)).toMatchObject({ quality: 4, reasons: REASON.spike });
    expect(heard.next(61)).toMatchObject({ quality: 1, reasons: 0 });
  });

  it('of two readings is found, both of them: 60, 60.1, 60.2, 85, 85.1, 60.3', () => {
    const heard = new Heard('core');
    expect(qualities(heard.row(60, 60.1, 60.2, 85, 85.1, 60.3, 60.4))).toEqual([1, 1, 1, 4, 4, 1, 1]);
  });

  it('that could raise an alarm is suspect and never failed', () => {
    const bag = new Heard('cooler');
    bag.row(4, 4.1, 4);
    expect(bag.next(34).quality).toBe(3);
    const pot = new Heard('pot');
    pot.row(75, 75.1, 75);
    expect(pot.next(20).quality).toBe(3);
    expect(pot.next(75).quality).toBe(1);
    expect(pot.next(120).quality).toBe(4);
  });

  it('is the power-on value of a sensor that has just been switched on, and two more of it are a temperature', () => {
    const heard = new Heard('cooler', 1_000);
    expect(reasonsOf(heard.next(85))).toEqual(['gross']);
    const core = new Heard('core', 1_000);
    expect(qualities(core.row(85, 4, 4.1))).toEqual([3, 1, 1]);
    const hot = new Heard('core', 1_000);
    expect(qualities(hot.row(85, 85, 85, 85))).toEqual([3, 3, 1, 1]);
  });

  it('is none where readings are so far apart that food can have done it', () => {
    const heard = new Heard('core', 5 * MIN_MS);
    expect(qualities(heard.row(5, 20, 60, 72))).toEqual([1, 1, 1, 1]);
  });
});

describe('a real step', () => {
  it.each([
    [1_000, 'core', 60, 20],
    [10_000, 'core', 60, 20],
    [10_000, 'cooler', 4, 18],
    [1_000, 'cooler', 4, 18],
    [10_000, 'zone', 250, 120],
    [10_000, 'pot', 75, 40],
  ] as const)(
    'with a reading every %d ms in a %s is believed at the third reading',
    (everyMs, seat, fromC, toC) => {
      const heard = new Heard(seat, everyMs);
      heard.row(...Array.from({ length: 8 }, (_, i) => fromC + (i % 2) / 10));
      const after = qualities(heard.row(...Array.from({ length: 15 }, (_, i) => toC + (i % 2) / 10)));
      expect(after.slice(0, 2).every((q) => q >= 3)).toBe(true);
      expect(after.slice(2)).toEqual(Array(13).fill(1));
    },
  );

  it('is not believed while the readings do not agree with each other', () => {
    const heard = new Heard('core');
    heard.row(60, 60, 60);
    expect(heard.row(20, 90, 25, 95, 15).every((r) => r.quality >= 3)).toBe(true);
  });
});

describe('a rate', () => {
  it('of food is good: 16 degC a minute, the fastest minute of a thin burger in the layer model', () => {
    const heard = new Heard('core', 1_000);
    const row = heard.row(
      ...Array.from({ length: 120 }, (_, i) => Math.round((10 + (16 * i) / 60) * 10) / 10),
    );
    expect(new Set(qualities(row))).toEqual(new Set([1]));
  });

  it('that no food has is suspect as long as it lasts, however small its steps', () => {
    const heard = new Heard('core', 1_000);
    heard.row(...Array.from({ length: 30 }, () => 30));
    const row = heard.row(...Array.from({ length: 40 }, (_, i) => 30 + i));
    expect(row.slice(25).every((r) => r.quality === 3 && reasonsOf(r).includes('rate'))).toBe(true);
  });
});

describe('a sensor that stands still', () => {
  const stand = (heard: Heard, tempC: number, minutes: number): IncomingReading[] =>
    heard.row(...Array.from({ length: (minutes * MIN_MS) / heard.everyMs }, () => tempC));

  it('in a bag on ice is said to stand still and is believed', () => {
    const heard = new Heard('cooler');
    heard.row(0.8, 0.7, 0.6, 0.5);
    const row = stand(heard, 0.5, 60);
    expect(qualities(row)).toEqual(row.map(() => 1));
    expect(reasonsOf(row.at(-1)!)).toEqual(['flat']);
    expect(reasonsOf(row[170]!)).toEqual([]);
  });

  it('over a lit fire is stuck', () => {
    const heard = new Heard('zone');
    heard.row(220, 220.1, 219.9);
    expect(stand(heard, 220.4, 31).at(-1)).toMatchObject({ quality: 3, reasons: REASON.flat });
  });

  it('although it was noisy before is stuck, in a bag as well', () => {
    const heard = new Heard('cooler');
    heard.row(...Array.from({ length: 400 }, (_, i) => 4 + [0, 0.1, -0.3, 0.2, -0.1, 0.3, -0.2][i % 7]!));
    expect(stand(heard, 4, 31).at(-1)).toMatchObject({ quality: 3, reasons: REASON.flat });
  });

  it('and shows half degrees only says nothing by it', () => {
    const heard = new Heard('zone');
    heard.row(220, 220.5, 220);
    expect(stand(heard, 220, 60).at(-1)).toMatchObject({ quality: 1, reasons: 0 });
  });
});

describe('a gap', () => {
  it('is said of the reading after it: more than three intervals, and the quality stays', () => {
    const heard = new Heard('core', 15_000);
    heard.row(60, 60.1, 60.2, 60.3, 60.4, 60.5);
    heard.nowMs += 40_000;
    expect(heard.next(60.6)).toMatchObject({ quality: 1, reasons: REASON.gap });
    expect(heard.next(60.7).reasons).toBe(0);
    heard.nowMs += 20_000;
    expect(heard.next(60.8).reasons).toBe(0);
  });

  it('is what a sensor says itself: later than it promised', () => {
    const heard = new Heard('core');
    heard.next(60, { nextWithinS: 300 });
    heard.nowMs += 200_000;
    expect(heard.next(60, { nextWithinS: 15 }).reasons).toBe(0);
    heard.nowMs += 10_000;
    expect(heard.next(60).reasons).toBe(REASON.gap);
  });
});

describe('a late reading', () => {
  it('keeps its quality and is said to be late; the same time again is not late', () => {
    const heard = new Heard('core');
    heard.row(60, 60.1, 60.2);
    const late = heard.take(aReading(60.1, heard.nowMs - 5_000, { receivedMs: heard.nowMs }));
    expect(late).toMatchObject({ quality: 1, reasons: REASON.late, atMs: heard.nowMs - 5_000 });
    expect(heard.take(aReading(60.2, heard.nowMs)).reasons).toBe(0);
  });

  it('is no measure for the ones that are not', () => {
    const heard = new Heard('core');
    heard.row(60, 60.1, 60.2);
    for (let i = 5; i > 0; i -= 1) heard.take(aReading(5, heard.nowMs - i * 1_000));
    expect(heard.next(60.3)).toMatchObject({ quality: 1, reasons: 0 });
  });

  it('is not what could not be stored and comes again', () => {
    const heard = new Heard('core');
    heard.row(60, 60.1);
    const sent = [60.2, 60.3, 60.4].map((tempC, i) => aReading(tempC, heard.nowMs + (i + 1) * 10_000));
    for (let i = 0; i < 3; i += 1) heard.lose(...sent);
    expect(sent.map((reading) => heard.take(reading).reasons)).toEqual([0, 0, 0]);
  });

  it('is late after a second failure of the disk too, when what the first one took never came again', () => {
    const heard = new Heard('core');
    heard.row(60, 60.1);
    heard.nowMs += 10_000;
    heard.lose(aReading(60.2, heard.nowMs));
    const lostMs = heard.nowMs;
    heard.row(60.3, 60.4, 60.5);
    heard.nowMs += 10_000;
    heard.lose(aReading(60.6, heard.nowMs));
    expect(heard.take(aReading(75, lostMs, { receivedMs: heard.nowMs })).reasons).toBe(REASON.late);
    expect(heard.take(aReading(60.6, heard.nowMs)).reasons).toBe(0);
  });

  it('is late after a restart and after the clock of the server was set too: newer ones are stored', () => {
    const heard = new Heard('core');
    heard.row(60, 60.1);
    const old = (minutes: number): IncomingReading =>
      aReading(75, heard.nowMs - minutes * MIN_MS, { receivedMs: heard.nowMs });
    expect(heard.take(old(180)).reasons).toBe(REASON.late);
    heard.restart();
    expect(heard.take(old(181)).reasons).toBe(REASON.late);
    expect(heard.next(60.2)).toMatchObject({ quality: 1, reasons: 0 });
    heard.gate.serverClockStepped();
    expect(heard.take(old(182)).reasons).toBe(REASON.late);
    expect(heard.next(60.3)).toMatchObject({ quality: 1, reasons: 0 });
  });

  it('is none beside what was stored before the clock of the server was put back', () => {
    const heard = new Heard('core');
    heard.row(60, 60.1);
    heard.gate.serverClockStepped();
    heard.nowMs -= 60 * MIN_MS;
    const row = heard.row(60.2, 60.3, 60.4);
    expect(row.map((r) => r.reasons)).toEqual([0, 0, 0]);
  });
});

describe('a message that is sent again', () => {
  const ARRIVAL = { timeSource: 'arrival' } as const;

  it('is no second reading that agrees: a glitch stays one, and the true readings after it are good', () => {
    const heard = new Heard('core');
    for (let i = 0; i < 10; i += 1) heard.next(50, ARRIVAL);
    expect(heard.next(75, ARRIVAL)).toMatchObject({ quality: 4, reasons: REASON.spike });
    for (let i = 0; i < 5; i += 1) {
      heard.nowMs += 2_000;
      heard.takeAgain(aReading(75, heard.nowMs, ARRIVAL), { isMarked: true });
    }
    expect(heard.next(50.1, ARRIVAL)).toMatchObject({ quality: 1, reasons: 0 });
    expect(heard.next(50.2, ARRIVAL)).toMatchObject({ quality: 1, reasons: 0 });
  });

  it('is no measure for new ones that are stored together with it', () => {
    const heard = new Heard('core');
    heard.row(50, 50, 50, 75);
    const repeats = [75, 75, 75].map((tempC, i) =>
      heard.admit(aReading(tempC, heard.nowMs + 1_000 + i, ARRIVAL), true),
    );
    const fresh = heard.admit(aReading(50.1, heard.nowMs + 2_000, ARRIVAL));
    heard.gate.stored([fresh]);
    expect(repeats.every((r) => r.quality === 4)).toBe(true);
    expect(fresh).toMatchObject({ quality: 1, reasons: 0 });
    // arrived in between and dated by the device: the repeats do not make it late either
    expect(heard.next(50.1)).toMatchObject({ quality: 1, reasons: 0 });
  });

  it('does not make late what was measured before it came', () => {
    const heard = new Heard('core');
    heard.row(50, 50.1);
    heard.takeAgain(aReading(50.1, heard.nowMs + 5_000, ARRIVAL), { isMarked: true });
    expect(heard.take(aReading(50.2, heard.nowMs + 4_000)).reasons).toBe(0);
  });

  it('counts as any other when it was not stored before: a real step is believed', () => {
    const heard = new Heard('core');
    heard.row(50, 50, 50);
    heard.lose(aReading(75, heard.nowMs + 1_000));
    const again = [75, 75.1, 75.2, 75.3].map((tempC) => {
      heard.nowMs += 10_000;
      return heard.takeAgain(aReading(tempC, heard.nowMs, ARRIVAL), { isMarked: false });
    });
    expect(again.at(-1)).toMatchObject({ quality: 1, reasons: 0 });
    expect(heard.next(75.4)).toMatchObject({ quality: 1, reasons: 0 });
    expect(heard.next(50)).toMatchObject({ quality: 3, reasons: REASON.spike });
  });
});

describe('whatever comes', () => {
  const anyReading = fc.record({
    tempC: fc.oneof(fc.double(), fc.double({ min: -60, max: 600, noNaN: true })),
    stepMs: fc.integer({ min: -100_000, max: 200_000 }),
    delayMs: fc.integer({ min: -20_000, max: 100_000 }),
    quality: fc.constantFrom(...QUALITIES),
    reasons: fc.integer({ min: 0, max: 2047 }),
    timeSource: fc.constantFrom('device', 'age', 'uptime', 'arrival'),
    end: fc.constantFrom('stored', 'stored', 'again', 'waits', 'lost'),
  });
  const seats: (SeatKind | null)[] = ['core', 'cooler', 'pot', 'zone', 'bench', null];

  it('the gate makes nothing better, takes no reason away, keeps value and arrival, and gives a time that is a number', () => {
    fc.assert(
      fc.property(fc.array(anyReading, { maxLength: 60 }), fc.constantFrom(...seats), (rows, seat) => {
        const heard = new Heard(seat);
        let nowMs = NOW_MS;
        for (const { stepMs, delayMs, tempC, quality, reasons, timeSource, end } of rows) {
          nowMs += stepMs;
          const before = aReading(tempC, nowMs - delayMs, {
            receivedMs: nowMs,
            quality,
            reasons,
            timeSource,
          });
          const after = heard.admit(before, end === 'again');
          if (end === 'lost') heard.gate.takeBack();
          else if (end !== 'waits') heard.gate.stored(heard.store.add(after) ? [after] : []);
          expect(after.quality).toBeGreaterThanOrEqual(before.quality);
          expect(after.reasons & before.reasons).toBe(before.reasons);
          expect(after.tempC).toBe(before.tempC);
          expect(after.receivedMs).toBe(nowMs);
          expect(Number.isFinite(after.atMs)).toBe(true);
          if (!Number.isFinite(tempC)) expect(after.quality).toBeGreaterThanOrEqual(4);
        }
      }),
      { numRuns: 400 },
    );
  });
});
