import { describe, expect, it } from 'vitest';
import { Reconnect, type Ending } from '../../server/ingest/reconnect.ts';

const ended = (livedMs: number, takenOver = false): Ending => ({ kind: 'ended', livedMs, takenOver });
const waits = (reconnect: Reconnect, endings: Ending[]): number[] =>
  endings.map((ending) => reconnect.afterEnd(ending) / 1_000);
const times = (n: number, ending: Ending): Ending[] => Array.from({ length: n }, () => ending);

describe('how long to wait before connecting again', () => {
  it('is a second while the broker is away, however long that is', () => {
    expect(waits(new Reconnect(), [ended(3_600_000), ...times(50, { kind: 'not-reached' })])).toEqual(
      times(51, { kind: 'not-reached' }).map(() => 1),
    );
  });

  it('grows from 1 to 30 seconds while the store fails, and is a second again once it works', () => {
    const reconnect = new Reconnect();
    expect(waits(reconnect, times(7, { kind: 'store-failed' }))).toEqual([1, 2, 4, 8, 16, 30, 30]);
    reconnect.stored();
    expect(waits(reconnect, [{ kind: 'store-failed' }])).toEqual([1]);
  });

  it('is minutes once another program has our client id, so that the two do not throw each other out for ever', () => {
    const reconnect = new Reconnect();
    expect(waits(reconnect, times(6, ended(30_000, true)))).toEqual([60, 120, 240, 480, 900, 900]);
    expect(reconnect.hasRival(null)).toBe(true);
  });

  it('takes a broker that ends three connections at once for the work of such a program, even when it does not say so', () => {
    const reconnect = new Reconnect();
    expect(waits(reconnect, times(3, ended(800)))).toEqual([1, 1, 60]);
    expect(reconnect.hasRival(500)).toBe(true);
    expect(waits(reconnect, [ended(20_000)])).toEqual([120]);
  });

  it('does not take a broker that is down in between for one', () => {
    const reconnect = new Reconnect();
    const bad = [ended(800), ended(800), { kind: 'not-reached' } as const, ended(800), ended(800)];
    expect(waits(reconnect, bad)).toEqual([1, 1, 1, 1, 1]);
    expect(reconnect.hasRival(null)).toBe(false);
  });

  it('forgets the other program after a quarter of an hour without trouble', () => {
    const reconnect = new Reconnect();
    reconnect.afterEnd(ended(5_000, true));
    expect(reconnect.hasRival(899_999)).toBe(true);
    expect(reconnect.hasRival(900_000)).toBe(false);
    expect(waits(reconnect, [ended(900_000)])).toEqual([1]);
  });
});
