import { describe, expect, it } from 'vitest';
import { Ring } from '../../simulator/ring.ts';

describe('the ring of unacknowledged readings', () => {
  it('hands out in the order of arrival and forgets only what is acknowledged', () => {
    const ring = new Ring<string>(10);
    for (const item of ['a', 'b', 'c']) ring.offer(item);
    const first = ring.take();
    const second = ring.take();
    expect([first?.item, second?.item]).toEqual(['a', 'b']);
    expect([ring.size, ring.handedOut]).toEqual([3, 2]);
    ring.acknowledge(first!.key);
    expect([ring.size, ring.handedOut]).toEqual([2, 1]);
  });
  it('refuses when it is full, and takes again when there is room', () => {
    const ring = new Ring<number>(2);
    expect([ring.offer(1), ring.offer(2), ring.offer(3)]).toEqual([true, true, false]);
    ring.acknowledge(ring.take()!.key);
    expect(ring.offer(3)).toBe(true);
  });
  it('hands out again, oldest first, what was taken back', () => {
    const ring = new Ring<string>(10);
    for (const item of ['a', 'b', 'c']) ring.offer(item);
    ring.acknowledge(ring.take()!.key);
    ring.take();
    ring.takeBack();
    expect(ring.handedOut).toBe(0);
    expect([ring.take()?.item, ring.take()?.item, ring.take()]).toEqual(['b', 'c', null]);
  });
  it('does not mind an acknowledgement that comes twice', () => {
    const ring = new Ring<string>(10);
    ring.offer('a');
    const { key } = ring.take()!;
    ring.acknowledge(key);
    ring.acknowledge(key);
    expect(ring.size).toBe(0);
  });
  it.each([0, 1.5, Number.NaN])('refuses to hold %f', (capacity) => {
    expect(() => new Ring(capacity)).toThrow(/capacity/);
  });
});
