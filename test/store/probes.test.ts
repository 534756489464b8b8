import { describe, expect, it } from 'vitest';
import { SqliteProbes } from '../../server/store/probes.ts';
import { SqliteReadings } from '../../server/store/readings.ts';
import { aCheck, aCorrection, aReading, everySecond, MIN, open, T0, taken } from './builders.ts';

describe('corrections of a probe', () => {
  it('count from their own minute on and never backwards, in every question', () => {
    const { store } = open();
    store.commit([taken(...everySecond(121, () => 10))]);
    store.probes.addCorrection(aCorrection({ fromMs: T0 + MIN, gain: 1.01, offsetC: 0.25 }));
    const before = { atMs: T0 + MIN - 1_000, tempC: 10, quality: 1 };
    const after = { atMs: T0 + MIN, tempC: 10.35, quality: 1 };
    for (const read of ['window', 'watched'] as const)
      expect(store[read]('left', T0 + MIN - 1_000, T0 + MIN)).toEqual([before, after]);
    expect(store.page('left', T0 + MIN - 1_000, T0 + 2 * MIN, 2)).toEqual([before, after]);
    expect(store.corrected('left', T0 + MIN - 1, 10)).toBe(10);
    expect(store.corrected('left', T0 + MIN, 10)).toBe(10.35);
    expect(store.corrected('another', T0 + MIN, 10)).toBe(10);
    expect(store.sensors()[0]).toMatchObject({ last: { tempC: 10.35 }, lastRawC: 10 });
  });

  it('leave what is stored as it was sent', () => {
    const { db, store } = open();
    store.probes.addCorrection(aCorrection({ offsetC: 3 }));
    store.commit([taken(aReading({ tempC: 5 }))]);
    expect(db.prepare('SELECT centi_c FROM reading').pluck().get()).toBe(500);
    expect(store.window('left', T0, T0)[0]?.tempC).toBe(8);
  });

  it('are there again after a restart, each for its own time', () => {
    const { db, store } = open();
    const all = [
      aCorrection({ id: 'a', fromMs: T0, offsetC: 1 }),
      aCorrection({
        id: 'b',
        fromMs: T0 + MIN,
        kind: 'two-point',
        gain: 1.02,
        offsetC: 2,
        checkIds: ['i', 'b'],
      }),
      aCorrection({ id: 'c', fromMs: T0 + 2 * MIN, kind: 'none', gain: 1, offsetC: 0, checkIds: [] }),
    ];
    for (const correction of all) store.probes.addCorrection(correction);
    const again = new SqliteReadings(db).probes;
    for (const book of [store.probes, again]) {
      expect(book.history('left').corrections).toEqual(all);
      const inForce = [-1, 0, MIN - 1, MIN, 2 * MIN, 9 * MIN].map(
        (ms) => book.correctionAt('left', T0 + ms)?.id,
      );
      expect(inForce).toEqual([undefined, 'a', 'a', 'b', 'c', 'c']);
    }
  });

  it('take the later of two that begin together', () => {
    const { db, store } = open();
    store.probes.addCorrection(aCorrection({ id: 'wrong', offsetC: 9 }));
    store.probes.addCorrection(aCorrection({ id: 'right', offsetC: 1 }));
    expect(store.probes.correctionAt('left', T0)?.id).toBe('right');
    expect(new SqliteProbes(db).correctionAt('left', T0)?.id).toBe('right');
  });

  it.each([
    ['in the middle of a minute', { fromMs: T0 + MIN + 1 }, /beginning of a minute/],
    ['before one that is there', { fromMs: T0 - MIN }, /or later/],
    ['that turns warm into cold', { fromMs: T0 + MIN, gain: -1 }, /gain/],
    ['with a gain that is no number', { fromMs: T0 + MIN, gain: Number.NaN }, /gain/],
    ['with an offset that is no number', { fromMs: T0 + MIN, offsetC: Number.NaN }, /offsetC/],
  ])('are refused %s', (_, over, text) => {
    const { store } = open();
    store.probes.addCorrection(aCorrection());
    expect(() => store.probes.addCorrection(aCorrection({ id: 'second', ...over }))).toThrow(RangeError);
    expect(() => store.probes.addCorrection(aCorrection({ id: 'second', ...over }))).toThrow(text);
    expect(store.probes.history('left').corrections).toHaveLength(1);
  });
});

describe('checks of a probe', () => {
  it('are kept with all that was seen, oldest first, and the newest of each sensor is known', () => {
    const { db, store } = open();
    const ice = aCheck();
    const boil = aCheck({
      atMs: T0 + MIN,
      kind: 'boil',
      expectedC: 98.4,
      readC: 95,
      altitudeM: 490,
      outcome: 'failed',
    });
    const other = aCheck({ sensorId: 'right' });
    for (const check of [boil, ice, other]) store.probes.addCheck(check);
    expect(store.probes.history('left').checks).toEqual([ice, boil]);
    expect(new SqliteProbes(db).lastChecks()).toEqual([boil, other]);
  });

  it('and corrections can be added to and neither changed nor deleted', () => {
    const { db, store } = open();
    store.probes.addCheck(aCheck());
    store.probes.addCorrection(aCorrection());
    for (const table of ['probe_check', 'correction']) {
      expect(() => db.exec(`UPDATE ${table} SET sensor_id = 'x'`)).toThrow(/never changed/);
      expect(() => db.exec(`DELETE FROM ${table}`)).toThrow(/never deleted/);
    }
    expect(() => store.probes.addCheck(aCheck())).toThrow(/UNIQUE/);
  });
});
