import { describe, expect, it } from 'vitest';
import { lidOpenness } from '../../server/estimate/lid.ts';

describe('a lid', () => {
  it('that was open for a minute is forgotten within two, one open for five within ten', () => {
    // Opening test on a gas grill (G. Blonder, 2011, read): 1 min open, back in 1 to 2 min; 5 min open, almost 10 min.
    expect(lidOpenness([{ fromS: 0, toS: 60 }], 60)).toBe(1);
    expect(lidOpenness([{ fromS: 0, toS: 60 }], 60 + 120)).toBe(0);
    expect(lidOpenness([{ fromS: 0, toS: 300 }], 300 + 300)).toBeGreaterThan(0.2);
    expect(lidOpenness([{ fromS: 0, toS: 300 }], 300 + 600)).toBe(0);
  });

  it('does nothing before it is opened', () => {
    expect(lidOpenness([{ fromS: 100, toS: 160 }], 99)).toBe(0);
    expect(lidOpenness([], 50)).toBe(0);
  });
});
