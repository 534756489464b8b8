import { describe, expect, it } from 'vitest';
import { leanTimeS, restLean } from '../../server/estimate/drive.ts';

describe('the lean of a piece', () => {
  it('is smaller the more often it is turned, and whole when it is not', () => {
    const often = restLean({ kind: 'every', seconds: 30 }, 1e-3);
    const seldom = restLean({ kind: 'every', seconds: 600 }, 1e-3);
    expect(often).toBeGreaterThanOrEqual(0);
    expect(often).toBeLessThan(0.05);
    expect(seldom).toBeGreaterThan(often);
    expect(restLean({ kind: 'none' }, 1e-3)).toBe(1);
    expect(leanTimeS(1e-3)).toBeCloseTo(244, 0);
  });
});
