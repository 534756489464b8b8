import { describe, expect, it } from 'vitest';
import { ClientBook } from '../../server/broker/client-book.ts';

describe('what is kept of clients', () => {
  it('names who was held back for a minute, and adds up for how long', () => {
    const book = new ClientBook();
    book.slowed('board', 200, 0);
    book.slowed('board', 300, 1_000);
    expect(book.slowedNow(61_000)).toEqual([{ client: 'board', slowedMs: 500 }]);
    expect(book.slowedNow(61_001)).toEqual([]);
    expect(book.slowedEver()).toEqual([{ client: 'board', slowedMs: 500 }]);
  });

  it('takes three take-overs of an id within a minute for two devices', () => {
    const book = new ClientBook();
    for (const atMs of [0, 20_000]) book.takenOver('probe', atMs);
    expect(book.shared(20_000)).toEqual([]);
    book.takenOver('probe', 40_000);
    expect(book.shared(40_000)).toEqual(['probe']);
    expect(book.shared(60_001)).toEqual([]);
  });

  it('takes a device that comes back now and then for one', () => {
    const book = new ClientBook();
    for (let i = 0; i < 20; i += 1) book.takenOver('probe', i * 40_000);
    expect(book.shared(19 * 40_000)).toEqual([]);
  });

  it('tells of a refused packet once a minute of each client', () => {
    const book = new ClientBook();
    const told = [0, 1_000, 60_000, 60_001].map((mono) => book.refused('camera', mono));
    expect(told).toEqual([true, false, false, true]);
    expect(book.refused('other', 1_000)).toBe(true);
    expect([book.slowedEver(), book.shared(0)]).toEqual([[], []]);
  });

  it('keeps a bounded number of names', () => {
    const book = new ClientBook();
    for (let i = 0; i < 5_000; i += 1) book.slowed(`made-up-${i}`, 1, i);
    expect(book.slowedEver()).toHaveLength(200);
    expect(book.slowedEver().at(-1)).toEqual({ client: 'made-up-4999', slowedMs: 1 });
  });
});
