import { describe, expect, it } from 'vitest';
import { sayPlace } from '../../web/views/live/say-place.ts';

const mark = (x: number) => ({ x, half: 22 });
const coal = (x: number) => ({ x, half: 8 });
const room = (change: Partial<Parameters<typeof sayPlace>[0]>) =>
  sayPlace({ textPx: 200, lanePx: 700, insetPx: 16, marks: [], heapX: null, ...change });

describe('the words in a lane', () => {
  it('stand at its beginning when it is empty', () => {
    expect(room({})).toEqual({ x: 16, anchor: 'start' });
  });

  it('stand left of the heap', () => {
    expect(room({ marks: [coal(400), coal(440)], heapX: 392 })).toEqual({ x: 382, anchor: 'end' });
  });

  it('stand between a mark and the heap when they fit there', () => {
    expect(room({ marks: [mark(60), coal(400)], heapX: 392 })).toEqual({ x: 382, anchor: 'end' });
  });

  it('stand right of the heap when there is no room left of it', () => {
    expect(room({ marks: [coal(100), coal(140)], heapX: 92 })).toEqual({ x: 158, anchor: 'start' });
  });

  it('stay away rather than cover a mark', () => {
    expect(room({ marks: [mark(120), coal(250), coal(400), coal(550)], heapX: 242 })).toBeNull();
  });
});
