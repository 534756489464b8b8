import { describe, expect, it } from 'vitest';
import { levenbergMarquardt } from 'ml-levenberg-marquardt';
import { courseOf } from '../../server/estimate/course.ts';
import { newestDisturbance } from '../../server/estimate/disturbance.ts';
import { frameOf, leanTimeS, restLean } from '../../server/estimate/drive.ts';
import type { Guess } from '../../server/estimate/drive.ts';
import { drawScores, fitScores } from '../../server/estimate/fit.ts';
import { lidOpenness } from '../../server/estimate/lid.ts';
import { march, waitS } from '../../server/estimate/march.ts';
import { cholesky, solveLower, solveUpper } from '../../server/estimate/matrix.ts';
import { spectrumOf } from '../../server/estimate/modes.ts';
import { normalPoints, normalQuantile } from '../../server/estimate/normal.ts';
import { tenQuantilesMs } from '../../server/estimate/quantiles.ts';
import { binned, noiseC, usableSamples, withoutSpikes } from '../../server/estimate/samples.ts';
import { centreTheta } from '../../server/estimate/series.ts';
import { robustLine } from '../../server/estimate/trend.ts';
import { ON_MS } from './questions.ts';

const GUESS: Guess = {
  kappaPerS: 1e-3,
  biot: 1.5,
  startC: 5,
  share: 1,
  shifts: [0],
  turnDip: 0,
  lidDip: 0,
  tipLean: 0,
};

function plainCourse(): NonNullable<ReturnType<typeof courseOf>> {
  const events = [{ atMs: ON_MS, step: 'on' as const, zone: 'hot' as const }];
  return courseOf({ nowMs: ON_MS, events, zone: 'hot', zoneC: null, turnPlan: { kind: 'none' }, startC: 5 })!;
}

describe('the core behind its drive', () => {
  it('follows the exact series when nothing is done to the food', () => {
    const course = plainCourse();
    const frame = frameOf(course, [100, 250, 400, 800]);
    const { tipC } = march(course, frame, GUESS, spectrumOf('slab'));
    const excess = course.stays[0]!.excessC;
    [...frame.timesS].forEach((atS, k) => {
      expect(tipC[k]!).toBeCloseTo(5 + excess * (1 - centreTheta('slab', 1.5, 1e-3 * atS)), 2);
    });
  });

  it('adds up changes of the fire as Duhamel says', () => {
    // Move from hot to gentle at 300 s: the second zone's difference acts from then on.
    const events = [
      { atMs: ON_MS, step: 'on' as const, zone: 'hot' as const },
      { atMs: ON_MS + 300_000, step: 'moved' as const, zone: 'gentle' as const },
    ];
    const nowMs = ON_MS + 900_000;
    const course = courseOf({
      nowMs,
      events,
      zone: 'gentle',
      zoneC: null,
      turnPlan: { kind: 'none' },
      startC: 5,
    })!;
    const [first, second] = course.stays.map(({ excessC }) => excessC);
    const frame = frameOf(course, [900]);
    const { tipC } = march(course, frame, { ...GUESS, shifts: [0, 0] }, spectrumOf('cylinder'));
    const moved = 1 - centreTheta('cylinder', 1.5, 0.9);
    const after = 1 - centreTheta('cylinder', 1.5, 0.6);
    expect(tipC.at(-1)!).toBeCloseTo(5 + first! * moved + (second! - first!) * after, 2);
  });

  it('waits as long as the series says, from any state on the way', () => {
    const course = plainCourse();
    const spectrum = spectrumOf('sphere');
    const run = march(course, frameOf(course, [150]), GUESS, spectrum);
    const wait = waitS(course, run, GUESS, { targetC: 75, offsetC: 0, turnsInS: [] });
    const arrivedC = 5 + course.stays[0]!.excessC * (1 - centreTheta('sphere', 1.5, 1e-3 * (150 + wait)));
    expect(Math.abs(arrivedC - 75)).toBeLessThan(0.3);
  });

  it('never arrives where the fire does not reach', () => {
    const course = plainCourse();
    const run = march(course, frameOf(course, [150]), GUESS, spectrumOf('slab'));
    expect(waitS(course, run, GUESS, { targetC: 300, offsetC: 0, turnsInS: [] })).toBe(Infinity);
  });

  it('leans less the more often it is turned, and fully when it is not', () => {
    const often = restLean({ kind: 'every', seconds: 30 }, 1e-3);
    const seldom = restLean({ kind: 'every', seconds: 600 }, 1e-3);
    expect(often).toBeGreaterThanOrEqual(0);
    expect(often).toBeLessThan(0.05);
    expect(seldom).toBeGreaterThan(often);
    expect(restLean({ kind: 'none' }, 1e-3)).toBe(1);
    expect(leanTimeS(1e-3)).toBeCloseTo(244, 0);
  });
});

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

describe('small linear algebra', () => {
  it('solves what it has factored', () => {
    const a = [
      [4, 2, 0.6],
      [2, 5, 1],
      [0.6, 1, 3],
    ];
    const l = cholesky(a)!;
    const x = solveUpper(l, solveLower(l, [1, 2, 3]));
    a.forEach((row, i) => {
      expect(row.reduce((sum, v, j) => sum + v * x[j]!, 0)).toBeCloseTo(i + 1, 12);
    });
  });

  it('says so when a matrix is not positive definite', () => {
    expect(
      cholesky([
        [1, 2],
        [2, 1],
      ]),
    ).toBeNull();
    expect(cholesky([[Number.NaN]])).toBeNull();
  });
});

describe('draws', () => {
  it('match the normal distribution where tables give it', () => {
    // 1.2816 at 90 %, 1.6449 at 95 %, 1.9600 at 97.5 % (any statistical table).
    expect(normalQuantile(0.9)).toBeCloseTo(1.2816, 3);
    expect(normalQuantile(0.05)).toBeCloseTo(-1.6449, 3);
    expect(normalQuantile(0.975)).toBeCloseTo(1.96, 3);
    expect(() => normalQuantile(0)).toThrow(RangeError);
  });

  it('have mean 0 and variance near 1 in every dimension, without correlation', () => {
    const points = normalPoints(80, 14);
    const mean = (f: (p: number[]) => number): number =>
      points.reduce((sum, p) => sum + f(p), 0) / points.length;
    for (let i = 0; i < 14; i += 1) {
      expect(Math.abs(mean((p) => p[i]!))).toBeLessThan(0.01);
      expect(Math.abs(mean((p) => p[i]! ** 2) - 1)).toBeLessThan(0.05);
      for (let j = 0; j < i; j += 1) expect(Math.abs(mean((p) => p[i]! * p[j]!))).toBeLessThan(0.2);
    }
  });

  it('become ten moments in order, with "never" at the end', () => {
    const waits = [60, 10, 20, 30, 40, 50, Infinity, Infinity, Number.NaN, 70];
    const ms = tenQuantilesMs(waits, 1000, 0);
    expect(ms.slice(0, 7)).toEqual([11_000, 21_000, 31_000, 41_000, 51_000, 61_000, 71_000]);
    expect(ms.slice(7)).toEqual([null, null, null]);
    expect(tenQuantilesMs([5, 5], 1000, 20_000)).toEqual(Array.from({ length: 10 }, () => 20_000));
  });
});

describe('readings', () => {
  it('are dropped when failed, missing, not finite, repeated or from the future', () => {
    const rows = [
      { atMs: 1000, tempC: 5, quality: 1 as const },
      { atMs: 1000, tempC: 6, quality: 1 as const },
      { atMs: 2000, tempC: 7, quality: 4 as const },
      { atMs: 3000, tempC: 8, quality: 9 as const },
      { atMs: 4000, tempC: Number.NaN, quality: 1 as const },
      { atMs: 5000, tempC: 9, quality: 3 as const },
      { atMs: 9000, tempC: 10, quality: 1 as const },
    ];
    expect(usableSamples(rows, 1000, 8000)).toEqual([
      { atS: 0, tempC: 5 },
      { atS: 4, tempC: 9 },
    ]);
  });

  it('lose a single spike and keep a slope', () => {
    const ramp = Array.from({ length: 9 }, (_, i) => ({ atS: i, tempC: i }));
    expect(withoutSpikes(ramp)).toEqual(ramp);
    const spiked = ramp.map((sample, i) => (i === 4 ? { ...sample, tempC: 80 } : sample));
    expect(withoutSpikes(spiked)[4]!.tempC).toBe(5);
  });

  it('tell their own scatter within a third, and at least what their display hides', () => {
    const noisy = normalPoints(400, 1).map(([z], i) => ({
      atS: 5 * i,
      tempC: 20 + 0.01 * i + 0.5 * z!,
      key: z!,
    }));
    // A spread order: neighbours of an even sequence are far apart, like real noise.
    expect(noiseC(noisy)).toBeGreaterThan(0.3);
    expect(noiseC(noisy)).toBeLessThan(0.9);
    const coarse = Array.from({ length: 60 }, (_, i) => ({ atS: 5 * i, tempC: Math.round(i / 10) }));
    expect(noiseC(coarse)).toBeGreaterThanOrEqual(1 / Math.sqrt(12));
  });

  it('are thinned to means of time and medians of temperature', () => {
    const many = Array.from({ length: 1000 }, (_, i) => ({ atS: i, tempC: i / 10 }));
    const bins = binned(many, 10);
    expect(bins).toHaveLength(10);
    expect(bins.reduce((sum, { n }) => sum + n, 0)).toBe(1000);
    expect(bins[0]!.tempC).toBeCloseTo(bins[0]!.atS / 10, 6);
  });

  it('give a line that a quarter of spikes does not bend', () => {
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

describe('the course of a batch', () => {
  it('believes the zone sensor in part, and not at all when it cannot be a fire', () => {
    const excess = (zoneC: number | null): number =>
      courseOf({
        nowMs: ON_MS,
        events: [{ atMs: ON_MS, step: 'on', zone: 'hot' }],
        zone: 'hot',
        zoneC,
        turnPlan: { kind: 'none' },
        startC: 5,
      })!.stays[0]!.excessC;
    expect(excess(300)).toBeGreaterThan(excess(null));
    expect(excess(300)).toBeLessThan(295);
    expect(excess(20)).toBe(excess(null));
    expect(excess(Number.NaN)).toBe(excess(null));
    expect(excess(1000)).toBe(excess(null));
  });
});
