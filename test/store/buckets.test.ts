import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { REASON, type IncomingReading } from '../../server/contract/reading.ts';
import type { Bucket } from '../../server/ports.ts';
import { SqliteReadings } from '../../server/store/readings.ts';
import { aCorrection, aReading, everySecond, MIN, open, T0, taken } from './builders.ts';

const isCharted = (r: IncomingReading): boolean => r.quality < 4 && (r.reasons & REASON.spike) === 0;

/** The same by hand, without a database: lowest, highest and last of what is charted in each stretch. */
function byHand(
  readings: IncomingReading[],
  span: { fromMs: number; toMs: number; widthMs: number },
): Bucket[] {
  const found = new Map<number, Bucket>();
  const inside = readings.filter((r) => isCharted(r) && r.atMs >= span.fromMs && r.atMs <= span.toMs);
  for (const { atMs, tempC } of [...inside].sort((a, b) => a.atMs - b.atMs)) {
    const bucket = Math.floor((atMs - span.fromMs) / span.widthMs);
    const known = found.get(bucket);
    found.set(bucket, [
      atMs,
      Math.min(known?.[1] ?? tempC, tempC),
      Math.max(known?.[2] ?? tempC, tempC),
      tempC,
    ]);
  }
  return [...found.values()];
}

type RollUpRow = {
  minute: number;
  min_c: number;
  max_c: number;
  sum_c: number;
  n: number;
  last_ms: number;
  last_c: number;
};

describe('buckets', () => {
  it('keep the extremes of each stretch and its last value', () => {
    const { store } = open();
    store.commit([taken(...everySecond(8, (i) => [5, 1, 9, 4, 6, 2, 8, 3][i]!))]);
    expect(store.buckets('left', T0, T0 + 7_999, 2)).toEqual([
      [T0 + 3_000, 1, 9, 4],
      [T0 + 7_000, 2, 8, 3],
    ]);
  });

  it('are no more than asked for, and leave out failed readings and spikes', () => {
    const { store } = open();
    const many = everySecond(1_000, (i) => i / 10);
    const failed = aReading({ tempC: 500, atMs: T0 + 1_000_500, quality: 4 });
    const spike = aReading({ tempC: -40, atMs: T0 + 500, quality: 3, reasons: REASON.spike });
    store.commit([taken(...many, failed, spike)]);
    for (const points of [50, 3]) {
      const buckets = store.buckets('left', T0, T0 + 1_001_000, points);
      expect(buckets.length).toBeLessThanOrEqual(points);
      expect(buckets.length).toBeGreaterThan(points * 0.8);
      expect(Math.max(...buckets.map((b) => b[2]))).toBe(99.9);
      expect(Math.min(...buckets.map((b) => b[1]))).toBe(0);
    }
  });

  it('are none for a sensor that nobody has heard', () => {
    expect(open().store.buckets('nobody', T0, T0 + MIN, 10)).toEqual([]);
  });

  it(
    'say the same from roll-ups as from the readings, whatever order these came in',
    { timeout: 60_000 },
    () => {
      const anyReadings = fc.uniqueArray(
        fc.record({
          second: fc.integer({ min: 0, max: 900 }),
          centi: fc.integer({ min: -2_000, max: 30_000 }),
          quality: fc.constantFrom(1, 1, 1, 2, 3, 4, 9),
          reasons: fc.constantFrom(0, 0, 0, REASON.spike, REASON.late, REASON.clock | REASON.rate),
        }),
        { maxLength: 120, selector: (r) => r.second },
      );
      fc.assert(
        fc.property(
          anyReadings,
          fc.integer({ min: 1, max: 20 }),
          fc.integer({ min: 0, max: 30 }),
          (all, size, restartAt) => {
            const { db, store: first } = open();
            db.pragma('synchronous = OFF'); // sixty small files: nothing here is about the disk
            const sent = all.map(({ second, centi, ...rest }) =>
              aReading({
                ...rest,
                tempC: centi / 100,
                atMs: T0 + second * 1_000,
              }),
            );
            let store = first;
            for (let i = 0; i < sent.length; i += size) {
              if (Math.floor(i / size) === restartAt) store = new SqliteReadings(db);
              store.commit([taken(...sent.slice(i, i + size))]);
            }
            const newest =
              db.prepare<[], { m: number | null }>('SELECT max(minute) AS m FROM roll_up').get()?.m ?? null;
            const rolled = db
              .prepare<[], RollUpRow>('SELECT * FROM roll_up WHERE n > 0 ORDER BY minute')
              .all();
            const minutes = byHand(sent, {
              fromMs: T0,
              toMs: newest === null ? -1 : (newest + 1) * MIN - 1,
              widthMs: MIN,
            });
            expect(
              rolled.map((m) => [m.minute * MIN + m.last_ms, m.min_c / 100, m.max_c / 100, m.last_c / 100]),
            ).toEqual(minutes);
            // buckets that begin and end with whole minutes
            const hour = { fromMs: T0, toMs: T0 + 60 * MIN + 59_999 };
            expect(store.buckets('left', hour.fromMs, hour.toMs, 61)).toEqual(
              byHand(sent, { ...hour, widthMs: MIN }),
            );
            // one bucket over a span that does not
            const odd = { fromMs: T0 + 17_000, toMs: T0 + 12 * MIN + 21_000 };
            expect(store.buckets('left', odd.fromMs, odd.toMs, 1)).toEqual(
              byHand(sent, { ...odd, widthMs: 1e9 }),
            );
          },
        ),
        { numRuns: 60 },
      );
    },
  );

  it('go on rightly after a group that could not be stored', () => {
    const { db, store } = open();
    store.commit([taken(...everySecond(30, () => 10))]);
    db.exec(
      "CREATE TRIGGER stop BEFORE INSERT ON reading WHEN NEW.centi_c = 9900 BEGIN SELECT raise(ABORT, 'no'); END",
    );
    expect(() =>
      store.commit([taken(...everySecond(100, () => 50, T0 + 30_000), aReading({ tempC: 99 }))]),
    ).toThrow();
    db.exec('DROP TRIGGER stop');
    store.commit([taken(...everySecond(90, () => 20, T0 + 30_000))]);
    expect(store.buckets('left', T0, T0 + 2 * MIN - 1, 2)).toEqual([
      [T0 + 59_000, 10, 20, 20],
      [T0 + MIN + 59_000, 20, 20, 20],
    ]);
  });

  it('cost one row a sensor and minute, however many groups there are', () => {
    const { db, store } = open();
    for (const reading of everySecond(181, (i) => i)) store.commit([taken(reading)]);
    const rows = db.prepare<[], RollUpRow>('SELECT * FROM roll_up ORDER BY minute').all();
    expect(rows.map((r) => [r.minute * MIN, r.n, r.min_c, r.max_c])).toEqual(
      [0, 1, 2].map((m) => [T0 + m * MIN, 60, m * 6_000, m * 6_000 + 5_900]),
    );
    expect(rows.map((r) => r.sum_c)).toEqual([0, 1, 2].map((m) => 100 * (60 * 60 * m + (59 * 60) / 2)));
  });

  it('are corrected by the correction of their time, on both sides of its beginning', () => {
    const { store } = open();
    store.commit([taken(...everySecond(600, (i) => i / 10))]);
    store.probes.addCorrection(aCorrection({ fromMs: T0 + 5 * MIN, gain: 2, offsetC: -1 }));
    expect(store.buckets('left', T0, T0 + 10 * MIN - 1, 2)).toEqual([
      [T0 + 299_000, 0, 29.9, 29.9],
      [T0 + 599_000, 59, 118.8, 118.8],
    ]);
    // one bucket over both: 0 .. 29.9 as sent, 30 .. 59.9 corrected to 59 .. 118.8
    expect(store.buckets('left', T0, T0 + 10 * MIN - 1, 1)).toEqual([[T0 + 599_000, 0, 118.8, 118.8]]);
    expect(store.buckets('left', T0, T0 + 10 * MIN - 1, 600)[299]).toEqual([T0 + 299_000, 29.9, 29.9, 29.9]);
    expect(store.buckets('left', T0, T0 + 10 * MIN - 1, 600)[300]).toEqual([T0 + 300_000, 59, 59, 59]);
  });
});
