import { describe, expect, it } from 'vitest';
import { digestOf } from '../../server/ingest/digest.ts';
import type { Intake } from '../../server/ports.ts';
import { SqliteReadings } from '../../server/store/readings.ts';
import { anIntake, aReading, MIN, open, T0, taken } from './builders.ts';

const DAY = 1_440 * MIN;

type Sent = { sender?: string; packetId?: number; isRepeat?: boolean; text?: string };

/** A message that is dated by its arrival. */
function arrived(
  atMs: number,
  { sender = 'probe', packetId = 1, isRepeat = false, text = '63.5' }: Sent,
): Intake {
  return anIntake({
    readings: [aReading({ atMs, timeSource: 'arrival' })],
    delivery: { sender, packetId, digest: digestOf('', Buffer.from(text)), isRepeat },
  });
}

describe('a message that comes again', () => {
  it('is known a day later when nothing of its sender was stored in between', () => {
    const { store } = open();
    store.commit([1, 2, 3].map((packetId) => arrived(T0 + packetId, { packetId })));
    const again = [1, 2, 3].map((packetId) => arrived(T0 + DAY + packetId, { packetId, isRepeat: true }));
    expect(store.commit(again)).toEqual({ stored: [], duplicates: 3 });
  });

  it('is known after a long outage also when new messages come in between', () => {
    const { store } = open();
    store.commit([1, 2].map((packetId) => arrived(T0 + packetId, { packetId })));
    store.commit([arrived(T0 + DAY, { packetId: 3, text: '64' })]);
    const again = [1, 2].map((packetId) => arrived(T0 + DAY + MIN + packetId, { packetId, isRepeat: true }));
    expect(store.commit(again)).toEqual({ stored: [], duplicates: 2 });
  });

  it('is a reading of its own when its sender went on long ago and uses packet id and text anew', () => {
    const { store } = open();
    store.commit([arrived(T0, {})]);
    for (let i = 1; i <= 60; i += 1) store.commit([arrived(T0 + i * MIN, { packetId: 1 + i, text: `${i}` })]);
    const next = arrived(T0 + DAY, { isRepeat: true });
    expect(store.commit([next]).stored).toHaveLength(1);
    expect(store.commit([arrived(T0 + DAY + MIN, { isRepeat: true })])).toMatchObject({ duplicates: 1 });
  });

  it('is not confused by what other senders went on with', () => {
    const { store } = open();
    store.commit([arrived(T0, {})]);
    for (let i = 1; i <= 60; i += 1) store.commit([arrived(T0 + i * MIN, { sender: 'other', packetId: i })]);
    expect(store.commit([arrived(T0 + DAY, { isRepeat: true })])).toMatchObject({ duplicates: 1 });
  });
});

describe('the marks of a whole round of packet ids', () => {
  const PACKET_IDS = 65_535; // MQTT 3.1.1 section 2.3.1: a non-zero 16-bit number
  const group = (fromId: number, atMs: number, isRepeat: boolean): Intake[] =>
    Array.from({ length: 500 }, (_, i) =>
      arrived(atMs + i, { packetId: ((fromId + i - 1) % PACKET_IDS) + 1, text: `${fromId + i}`, isRepeat }),
    );

  it('tell what comes again of the last thousands, also over the end of the round and after a restart', () => {
    const { db, store } = open();
    for (let id = 1; id <= 66_000; id += 500)
      expect(store.commit(group(id, T0 + id, false)).duplicates).toBe(0);
    const restarted = new SqliteReadings(db);
    for (let id = 58_501; id <= 66_000; id += 500)
      expect(restarted.commit(group(id, T0 + 70_000 + id, true))).toEqual({ stored: [], duplicates: 500 });
  });

  it('are not kept of a group that was rolled back', () => {
    const { db, store } = open();
    store.commit([arrived(T0, { packetId: 1 })]);
    db.exec("CREATE TRIGGER broken BEFORE INSERT ON reading BEGIN SELECT raise(ABORT, 'broken'); END");
    expect(() => store.commit([arrived(T0 + 1, { packetId: 2 }), arrived(T0 + 2, { packetId: 40 })])).toThrow(
      'broken',
    );
    db.exec('DROP TRIGGER broken');
    const again = [2, 40].map((packetId) => arrived(T0 + 10 + packetId, { packetId, isRepeat: true }));
    expect(store.commit(again).stored).toHaveLength(2);
  });
});

describe('what is remembered of messages', () => {
  const marks = ({ db }: ReturnType<typeof open>, sender = '%'): number =>
    Number(db.prepare('SELECT count(*) FROM delivery_block WHERE sender LIKE ?').pluck().get(sender));

  it('stays small while the server runs, whatever names its clients make up', () => {
    const folder = open();
    for (let second = 0; second < 8; second += 1)
      folder.store.commit(
        Array.from({ length: 1_000 }, (_, i) =>
          arrived(T0 + second * 1_000 + i, { sender: `p${second}-${i}` }),
        ),
      );
    expect(marks(folder)).toBeLessThanOrEqual(4_096 + 1_000);
    // the newest are there
    expect(marks(folder, 'p7-%')).toBe(1_000);
  });

  it('is not pushed out by one sender that sends much', () => {
    const folder = open();
    folder.store.commit([arrived(T0, { sender: 'slow' })]);
    for (let second = 1; second <= 30; second += 1)
      folder.store.commit(
        Array.from({ length: 1_000 }, (_, i) =>
          arrived(T0 + second * 1_000 + i, { sender: 'fast', packetId: second * 1_000 + i }),
        ),
      );
    const again = arrived(T0 + 40_000, { sender: 'slow', isRepeat: true });
    expect(folder.store.commit([again])).toMatchObject({ duplicates: 1 });
  });

  it('is forgotten after days, also what was marked under a clock that was far ahead', () => {
    const folder = open();
    folder.store.commit([arrived(T0, { sender: 'old' }), arrived(T0 + 400 * DAY, { sender: 'ahead' })]);
    new SqliteReadings(folder.db).commit([arrived(T0 + 3 * DAY, { sender: 'new' })]);
    expect([marks(folder, 'old'), marks(folder, 'ahead'), marks(folder, 'new')]).toEqual([0, 0, 1]);
  });

  it('is not kept of a message with nothing in it', () => {
    const folder = open();
    const empty = anIntake({ delivery: { sender: 'p', packetId: 1, digest: 1, isRepeat: false } });
    folder.store.commit([empty, taken(aReading())]);
    expect(marks(folder)).toBe(0);
  });
});
