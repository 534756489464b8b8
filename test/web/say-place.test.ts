import { describe, expect, it } from 'vitest';
import { sayPlace } from '../../web/views/live/say-place.ts';

const mark = (x: number) => ({ x, half: 22, isHigh: true });
const coal = (x: number, level = 0) => ({ x, half: 8, isHigh: level > 0 });
const room = (change: Partial<Parameters<typeof sayPlace>[0]>) =>
  sayPlace({ textPx: 200, lanePx: 700, insetPx: 16, marks: [], heapX: null, ...change });

describe('the words in a lane', () => {
  it('stand at its beginning when it is empty', () => {
    expect(room({})).toEqual({ x: 16, anchor: 'start', isHigh: false });
  });

  it('stand left of the heap', () => {
    expect(room({ marks: [coal(400), coal(440)], heapX: 392 })).toEqual({
      x: 382,
      anchor: 'end',
      isHigh: false,
    });
  });

  it('stand between a mark and the heap when they fit there', () => {
    expect(room({ marks: [mark(60), coal(400)], heapX: 392 })).toEqual({
      x: 382,
      anchor: 'end',
      isHigh: false,
    });
  });

  it('stand right of the heap when there is no room left of it', () => {
    expect(room({ marks: [coal(100), coal(140)], heapX: 92 })).toEqual({
      x: 158,
      anchor: 'start',
      isHigh: false,
    });
  });

  it('stay away rather than cover a mark', () => {
    expect(room({ marks: [mark(120), coal(250, 1), coal(400, 1), coal(550, 1)], heapX: 242 })).toBeNull();
  });

  it('stand above single coals that are strung over the whole lane', () => {
    const strung = [30, 100, 170, 240, 310, 380, 450, 520, 590, 660].map((x) => coal(x));
    expect(room({ marks: strung, heapX: 22 })).toEqual({ x: 16, anchor: 'start', isHigh: true });
    expect(room({ marks: [...strung, mark(60)], heapX: 22 })).toMatchObject({ x: 92, isHigh: true });
  });
});
