import { describe, expect, it } from 'vitest';
import { sidesOf, wanderAt } from '../../server/estimate/drive.ts';
import type { Guess } from '../../server/estimate/drive.ts';

const GUESS: Guess = {
  kappaPerS: 1e-3,
  biot: 1.2,
  startC: 5,
  share: 1,
  shifts: [0],
  wander: [],
  steam: 0,
  lean: 0,
  lidDip: 0,
  tip: 0,
};

describe('the two sides of a piece', () => {
  it('bring the same heat to a cold piece however unlike they are', () => {
    const heat = (lean: number): number => {
      const { below, above } = sidesOf(GUESS, 150, lean);
      return below.biot * (below.ambientC - 5) + above.biot * (above.ambientC - 5);
    };
    for (const lean of [0.2, 0.6, 1, 1.4]) expect(heat(lean)).toBeCloseTo(heat(0), 6);
  });

  it('give the fire more than the sky', () => {
    const { below, above } = sidesOf(GUESS, 150, 0.8);
    expect(below.ambientC).toBeGreaterThan(above.ambientC);
    expect(below.biot).toBeGreaterThan(above.biot);
  });
});

describe('a fire that wanders', () => {
  it('has gone all of its changes at the end and none at the start', () => {
    expect(wanderAt([0.1, -0.3], 0, 600)).toBe(0);
    expect(wanderAt([0.1, -0.3], 300, 600)).toBeCloseTo(0.1, 12);
    expect(wanderAt([0.1, -0.3], 450, 600)).toBeCloseTo(-0.05, 12);
    expect(wanderAt([0.1, -0.3], 600, 600)).toBeCloseTo(-0.2, 12);
    expect(wanderAt([], 100, 0)).toBe(0);
  });
});
