import { describe, expect, it } from 'vitest';
import { robustLine } from '../../server/estimate/trend.ts';

describe('a trend', () => {
  it('is not bent by a quarter of spikes', () => {
    const bins = Array.from({ length: 20 }, (_, i) => ({
      atS: 60 * i,
      tempC: 4 + 0.05 * i + (i % 4 === 0 ? 3 : 0),
      n: 6,
    }));
    const line = robustLine(bins, 0.1);
    expect(line.slopeCPerMin).toBeCloseTo(0.05, 2);
    expect(line.levelC).toBeCloseTo(4.95, 1);
  });
});
