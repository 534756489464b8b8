import { describe, expect, it } from 'vitest';
import { newestDisturbance } from '../../server/estimate/disturbance.ts';

describe('a disturbance of the probe', () => {
  const rise = Array.from({ length: 120 }, (_, i) => ({ atS: 5 * i, tempC: 5 + 0.08 * 5 * i }));

  it('is not seen in food that heats as food does', () => {
    expect(newestDisturbance(rise, 0.1, 8e-4)).toBeNull();
  });

  it('is a fall of more than 3 degC in a minute, not one of 2', () => {
    const fall = (byC: number): number | null => {
      const samples = rise.map((s) =>
        s.atS >= 400 ? { ...s, tempC: 37 - (byC * Math.min(s.atS - 400, 30)) / 30 } : s,
      );
      return newestDisturbance(samples, 0.1, 8e-4)?.fall?.byC ?? null;
    };
    expect(fall(2)).toBeNull();
    expect(fall(5)!).toBeGreaterThan(3);
  });

  it('is not the probe cooling down as it is pushed in', () => {
    const settling = rise.map((s) => ({ ...s, tempC: s.tempC + 15 * Math.exp(-s.atS / 12) }));
    expect(newestDisturbance(settling, 0.1, 8e-4)).toBeNull();
  });
});
