import { describe, expect, it } from 'vitest';
import { levenbergMarquardt } from 'ml-levenberg-marquardt';
import { drawScores, fitScores } from '../../server/estimate/fit.ts';

describe('the fit', () => {
  it('finds the minimum that an independent Levenberg-Marquardt finds', () => {
    // Newton curve 90 - 85 exp(-t/200) from (120, 10, 300): recovered by ml-levenberg-marquardt; here the prior is so
    // wide that it does not pull.
    const x = Array.from({ length: 31 }, (_, i) => 10 * i);
    const y = x.map((t) => 90 - 85 * Math.exp(-t / 200));
    const curve = ([a = 0, b = 0, tau = 1]: readonly number[], t: number): number =>
      a - (a - b) * Math.exp(-t / tau);
    const other = levenbergMarquardt(
      { x, y },
      (parameters: number[]) => (t: number) => curve(parameters, t),
      {
        initialValues: [120, 10, 300],
        damping: 0.01,
        maxIterations: 200,
      },
    );
    const parameters = (s: readonly number[]): number[] => [
      120 + 60 * s[0]!,
      10 + 30 * s[1]!,
      300 * Math.exp(s[2]!),
    ];
    const fit = fitScores((s) => Float64Array.from(x, (t, i) => (curve(parameters(s), t) - y[i]!) / 0.01), 3);
    parameters(fit.scores).forEach((value, i) => {
      expect(Math.abs(value / other.parameterValues[i]! - 1)).toBeLessThan(0.005);
    });
  });

  it('stays at the prior when nothing was observed, and draws it', () => {
    const fit = fitScores(() => new Float64Array(0), 2);
    expect(fit.scores).toEqual([0, 0]);
    expect(drawScores(fit, [1, -1], 1)).toEqual([1, -1]);
    expect(drawScores(fit, [1, -1], 0.5)).toEqual([0.5, -0.5]);
  });

  it('weighs one observation against the prior as two normals do', () => {
    // x ~ N(0,1) seen as 1 with sd 1: the middle, 0.5. A robust loss pulls a little less than a normal one.
    const fit = fitScores((s) => Float64Array.of((s[0]! - 1) / 1), 1);
    expect(fit.scores[0]!).toBeGreaterThan(0.4);
    expect(fit.scores[0]!).toBeLessThan(0.6);
  });

  it('gives way to an outlier hardly at all', () => {
    const seen = [1, 1.1, 0.9, 1.05, 0.95, 40];
    const fit = fitScores((s) => Float64Array.from(seen, (v) => (s[0]! - v) / 0.1), 1);
    expect(Math.abs(fit.scores[0]! - 1)).toBeLessThan(0.1);
  });
});
