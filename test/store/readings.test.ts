import { statSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it, onTestFinished } from 'vitest';
import type { IncomingReading } from '../../server/contract/reading.ts';
import type { Intake } from '../../server/ports.ts';
import { openDatabase } from '../../server/store/database.ts';
import { SqliteReadings } from '../../server/store/readings.ts';
import { tempDir } from '../support/temp-dir.ts';

const T0 = 1_760_000_000_000;

function aReading(over: Partial<IncomingReading> = {}): IncomingReading {
  const atMs = over.atMs ?? T0;
  return {
    sensorId: 'left',
    tempC: 4,
    atMs,
    receivedMs: atMs,
    quality: 1,
    reasons: 0,
    timeSource: 'device',
    ...over,
  };
}
const taken = (...readings: IncomingReading[]): Intake => ({ readings, rejects: [], delivery: null });

function open(dir = tempDir()) {
  const db = openDatabase(dir);
  onTestFinished(() => void db.close());
  return { db, dir, store: new SqliteReadings(db) };
}

describe('the store of readings', () => {
  it('writes through to the disk at every commit', () => {
    const { db } = open();
    // 2 = FULL: SQLite documentation, PRAGMA synchronous
    expect(db.pragma('synchronous', { simple: true })).toBe(2);
    expect(db.pragma('journal_mode', { simple: true })).toBe('wal');
  });

  it('keeps the same sensor and time once, whatever comes again', () => {
    const { store } = open();
    expect(store.commit([taken(aReading())])).toMatchObject({ duplicates: 0 });
    expect(store.commit([taken(aReading({ tempC: 9 })), taken(aReading())])).toMatchObject({
      stored: [],
      duplicates: 2,
    });
    expect(store.window('left', T0, T0)).toEqual([{ atMs: T0, tempC: 4, quality: 1 }]);
  });

  it('knows a redelivered message without a time of its own by sender, packet and content', () => {
    const { store } = open();
    const message = (atMs: number, isRepeat: boolean, digest = 'd'): Intake => ({
      readings: [aReading({ atMs, timeSource: 'arrival' })],
      rejects: [],
      delivery: { sender: 'probe', packetId: 7, digest, isRepeat },
    });
    store.commit([message(T0, false)]);
    expect(store.commit([message(T0 + 900, true)])).toMatchObject({ stored: [], duplicates: 1 });
    // a new message may use the packet id of an acknowledged one: MQTT 3.1.1 section 4.3.2
    expect(store.commit([message(T0 + 1_000, false)]).stored).toHaveLength(1);
    expect(store.commit([message(T0 + 2_000, true, 'other')]).stored).toHaveLength(1);
  });

  it('gives back every reading as it came, to the hundredth of a degree', () => {
    fc.assert(
      fc.property(fc.uniqueArray(fc.integer({ min: -6_000, max: 120_000 }), { maxLength: 40 }), (centi) => {
        const { store } = open();
        const sent = centi.map((c, i) => aReading({ tempC: c / 100, atMs: T0 + i * 1_000 }));
        store.commit([taken(...sent)]);
        expect(store.window('left', T0, T0 + 1e6).map((r) => r.tempC)).toEqual(sent.map((r) => r.tempC));
      }),
      { numRuns: 20 },
    );
  });

  it('stores all of a group or nothing of it', () => {
    const { db, store } = open();
    db.exec("CREATE TRIGGER stop BEFORE INSERT ON reject BEGIN SELECT raise(ABORT, 'no'); END");
    const reject = {
      topic: 't',
      receivedMs: T0,
      reason: 'empty',
      detail: '',
      payload: new Uint8Array(),
    } as const;
    expect(() =>
      store.commit([
        taken(aReading({ sensorId: 'new' })),
        { readings: [], rejects: [reject], delivery: null },
      ]),
    ).toThrow();
    expect(store.sensors()).toEqual([]);
    db.exec('DROP TRIGGER stop');
    expect(store.commit([taken(aReading({ sensorId: 'new' }))]).stored).toHaveLength(1);
    expect(store.window('new', T0, T0)).toHaveLength(1);
  });

  it('keeps the extremes of each bucket and its last value', () => {
    const { store } = open();
    const values = [5, 1, 9, 4, 6, 2, 8, 3];
    store.commit([taken(...values.map((tempC, i) => aReading({ tempC, atMs: T0 + i * 1_000 })))]);
    expect(store.buckets('left', T0, T0 + 7_999, 2)).toEqual([
      [T0 + 3_000, 1, 9, 4],
      [T0 + 7_000, 2, 8, 3],
    ]);
  });

  it('answers with no more buckets than asked for, and leaves out failed readings', () => {
    const { store } = open();
    const many = Array.from({ length: 1_000 }, (_, i) => aReading({ tempC: i / 10, atMs: T0 + i * 1_000 }));
    store.commit([taken(...many, aReading({ tempC: 500, atMs: T0 + 1_000_500, quality: 4 }))]);
    const buckets = store.buckets('left', T0, T0 + 1_001_000, 50);
    expect(buckets.length).toBeGreaterThan(40);
    expect(buckets.length).toBeLessThanOrEqual(50);
    expect(Math.max(...buckets.map((b) => b[2]))).toBe(99.9);
  });

  it('needs at most 24 bytes a reading, a quarter of what text columns take', () => {
    const { db, dir, store } = open();
    const count = 100_000;
    const intake = taken(
      ...Array.from({ length: count }, (_, i) =>
        aReading({ tempC: (i % 900) / 10, atMs: T0 + i * 1_000, receivedMs: T0 + i * 1_000 + 80 }),
      ),
    );
    store.commit([intake]);
    db.pragma('wal_checkpoint(TRUNCATE)');
    expect(statSync(join(dir, 'tongside.db')).size / count).toBeLessThanOrEqual(24);
  });

  it('refuses a data folder of a newer version with a clear text', () => {
    const { db, dir } = open();
    db.pragma('user_version = 9999');
    expect(() => openDatabase(dir)).toThrow(/newer Tongside/);
  });
});
