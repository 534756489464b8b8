import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { heapOf } from '../../web/views/live/heap.ts';
import type { HeapRoom } from '../../web/views/live/heap.ts';

const ROOM: HeapRoom = { pitch: 18.5, stackMax: 3, from: 6, to: 700 };
const columnsOf = (xs: number[]) => [...new Set(heapOf(xs, ROOM).map(({ x }) => x))];
const ascending = fc
  .array(fc.float({ min: 0, max: 700, noNaN: true }), { minLength: 1, maxLength: 10 })
  .map((xs) => [...xs].sort((a, b) => a - b));

describe('a heap', () => {
  it('keeps every mark: none is lost, none is added', () => {
    fc.assert(fc.property(ascending, (xs) => heapOf(xs, ROOM).length === xs.length));
  });

  it('never stacks more than three', () => {
    fc.assert(fc.property(ascending, (xs) => heapOf(xs, ROOM).every(({ level }) => level >= 0 && level < 3)));
  });

  it('fills columns from the ground', () => {
    const levels = heapOf([100, 100, 100], ROOM).map(({ level }) => level);
    expect(levels).toEqual([0, 1, 2]);
  });

  it('of ten equal moments is four columns wide, so that it claims no more than is known', () => {
    const columns = columnsOf(Array.from({ length: 10 }, () => 200));
    expect(columns).toHaveLength(4);
    const width = Math.max(...columns) - Math.min(...columns) + 16;
    // "About 66 px" in the design note "The look", section 6; three pitches and one coal.
    expect(width).toBeGreaterThanOrEqual(66);
    expect(width).toBeLessThan(76);
  });

  it('keeps columns a pitch apart', () => {
    const columns = columnsOf([200, 205, 220, 224, 226, 239, 241]).sort((a, b) => a - b);
    columns.slice(1).forEach((x, index) => expect(x - columns[index]!).toBeGreaterThan(18.4));
  });

  it('stays inside its room', () => {
    for (const { x } of heapOf([0, 1, 2, 3, 4], ROOM)) expect(x).toBeGreaterThanOrEqual(6);
    for (const { x } of heapOf([690, 695, 699, 700], ROOM)) expect(x).toBeLessThanOrEqual(700);
  });

  it('leaves single marks where they are', () => {
    expect(heapOf([100, 200, 300], ROOM)).toEqual([
      { x: 100, level: 0 },
      { x: 200, level: 0 },
      { x: 300, level: 0 },
    ]);
  });
});
