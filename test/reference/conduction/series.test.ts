import besselj0 from '@stdlib/math-base-special-besselj0';
import besselj1 from '@stdlib/math-base-special-besselj1';
import erfc from '@stdlib/math-base-special-erfc';
import fc from 'fast-check';
import { Solver } from 'odex';
import { describe, expect, it } from 'vitest';
import { besselJ01 } from './bessel.ts';
import { eigenpairs, firstEigenpair } from './eigenvalues.ts';
import { centreTheta, oneTermTheta } from './series.ts';
import { CLOSED_FORMS } from '../../accuracy/closed-form.ts';

const SHAPES = ['slab', 'cylinder', 'sphere'] as const;

describe('Bessel functions', () => {
  // Reference: @stdlib besselj0, besselj1 (FreeBSD msun by way of Boost).
  it('agree with an independent library over every argument that an eigenvalue can have', () => {
    for (let x = 0; x <= 60; x += 0.0937) {
      const { j0, j1 } = besselJ01(x);
      expect(Math.abs(j0 - besselj0(x))).toBeLessThan(1e-14);
      expect(Math.abs(j1 - besselj1(x))).toBeLessThan(1e-14);
    }
  });

  it('refuse an argument outside their range by name', () => {
    expect(() => besselJ01(-1)).toThrow(/x: expected 0 to 1000, got -1/);
    expect(() => besselJ01(Number.NaN)).toThrow(RangeError);
  });
});

describe('first eigenvalue and coefficient', () => {
  // Cengel, Heat Transfer, Table 4-2 (read down to Bi = 10; four printed digits). Two entries are misprinted in the
  // last digit and left out here: cylinder Bi 2 prints 1.5995 for 1.599449, slab Bi 5 prints A1 1.2403 for 1.240249.
  it.each([
    [0.01, 0.0998, 1.0017, 0.1412, 1.0025, 0.173, 1.003],
    [0.02, 0.141, 1.0033, 0.1995, 1.005, 0.2445, 1.006],
    [0.04, 0.1987, 1.0066, 0.2814, 1.0099, 0.345, 1.012],
    [0.06, 0.2425, 1.0098, 0.3438, 1.0148, 0.4217, 1.0179],
    [0.08, 0.2791, 1.013, 0.396, 1.0197, 0.486, 1.0239],
    [0.1, 0.3111, 1.0161, 0.4417, 1.0246, 0.5423, 1.0298],
    [0.2, 0.4328, 1.0311, 0.617, 1.0483, 0.7593, 1.0592],
    [0.3, 0.5218, 1.045, 0.7465, 1.0712, 0.9208, 1.088],
    [0.5, 0.6533, 1.0701, 0.9408, 1.1143, 1.1656, 1.1441],
    [0.8, 0.791, 1.1016, 1.149, 1.1724, 1.432, 1.2236],
    [1, 0.8603, 1.1191, 1.2558, 1.2071, 1.5708, 1.2732],
    [2, 1.0769, 1.1785, null, 1.3384, 2.0288, 1.4793],
    [4, 1.2646, 1.2287, 1.9081, 1.4698, 2.4556, 1.7202],
    [5, 1.3138, null, 1.9898, 1.5029, 2.5704, 1.787],
    [7, 1.3766, 1.2532, 2.0937, 1.5411, 2.7165, 1.8673],
    [10, 1.4289, 1.262, 2.1795, 1.5677, 2.8363, 1.9249],
  ])('agree with the printed table at Bi %d', (biot, ...printed) => {
    const worked = SHAPES.flatMap((shape) => {
      const { zeta, coefficient } = firstEigenpair(shape, biot);
      return [zeta, coefficient];
    });
    printed.forEach((value, i) => {
      if (value !== null) expect(Math.abs(worked[i]! - value)).toBeLessThanOrEqual(5.1e-5);
    });
  });

  // True values behind the two misprints, and scipy = @stdlib for the cylinder at Bi 1 (computed independently).
  it('are right where the printed table is not', () => {
    expect(firstEigenpair('cylinder', 2).zeta).toBeCloseTo(1.599449, 6);
    expect(firstEigenpair('slab', 5).coefficient).toBeCloseTo(1.240249, 6);
    expect(Math.abs(firstEigenpair('cylinder', 1).zeta - 1.25578371179)).toBeLessThan(1e-9);
  });

  it('hit the exact values at Bi 1 and at a fixed surface temperature', () => {
    const sphere = firstEigenpair('sphere', 1);
    expect(Math.abs(sphere.zeta - Math.PI / 2)).toBeLessThan(1e-12);
    expect(Math.abs(sphere.coefficient - 4 / Math.PI)).toBeLessThan(1e-12);
    expect(firstEigenpair('slab', Infinity).zeta).toBeCloseTo(Math.PI / 2, 12);
    expect(firstEigenpair('slab', Infinity).coefficient).toBeCloseTo(4 / Math.PI, 12);
    // First zero of J0 and 2 / (z J1(z)): 2.404826, 1.601975 (Abramowitz & Stegun, Table 9.5, from memory).
    expect(firstEigenpair('cylinder', Infinity).zeta).toBeCloseTo(2.404826, 6);
    expect(firstEigenpair('cylinder', Infinity).coefficient).toBeCloseTo(1.601975, 6);
    expect(firstEigenpair('sphere', Infinity).zeta).toBeCloseTo(Math.PI, 12);
    expect(firstEigenpair('sphere', Infinity).coefficient).toBeCloseTo(2, 12);
  });

  // First six pairs, computed with SciPy's brentq (independent code), Bi = 1 and 10 of a table of seven.
  it('are followed by the further pairs of an independent solver', () => {
    const slab = eigenpairs('slab', 1, 6);
    expect(slab.map(({ zeta }) => zeta.toFixed(6))).toEqual(
      '0.860334 3.425618 6.437298 9.529334 12.645287 15.771285'.split(' '),
    );
    expect(slab.map(({ coefficient }) => coefficient.toFixed(6))).toEqual(
      '1.119132 -0.151692 0.046594 -0.021668 0.012392 -0.007993'.split(' '),
    );
  });

  it('satisfy their own condition in their own bracket, for any Biot number', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.005, max: 500, noNaN: true }), (biot) => {
        eigenpairs('slab', biot, 6).forEach(({ zeta }, i) => {
          expect(zeta).toBeGreaterThan(i * Math.PI);
          expect(zeta).toBeLessThan((i + 0.5) * Math.PI);
          expect(Math.abs(zeta * Math.sin(zeta) - biot * Math.cos(zeta))).toBeLessThan(1e-9 * (1 + biot));
        });
        for (const { zeta } of eigenpairs('cylinder', biot, 6)) {
          expect(Math.abs(zeta * besselj1(zeta) - biot * besselj0(zeta))).toBeLessThan(1e-9 * (1 + biot));
        }
        for (const { zeta } of eigenpairs('sphere', biot, 6)) {
          const misfit = (1 - biot) * Math.sin(zeta) - zeta * Math.cos(zeta);
          expect(Math.abs(misfit)).toBeLessThan(1e-9 * (1 + biot));
        }
      }),
    );
  });

  it('turn a lumped body into the slower real one by the known factor', () => {
    // n Bi / zeta1^2 at Bi 0.1: computed independently (SciPy).
    const factors = SHAPES.map((shape, i) => ((i + 1) * 0.1) / firstEigenpair(shape, 0.1).zeta ** 2);
    expect(factors.map((f) => f.toFixed(4))).toEqual(['1.0336', '1.0252', '1.0202']);
  });

  it('refuse a Biot number of 0 or NaN by name', () => {
    expect(() => firstEigenpair('slab', 0)).toThrow(/biot: expected a number above 0, got 0/);
    expect(() => eigenpairs('slab', Number.NaN, 3)).toThrow(RangeError);
    expect(() => eigenpairs('slab', 1, 0)).toThrow(/n: expected a whole number from 1, got 0/);
  });
});

describe('temperature of the centre', () => {
  // Independent series values (SciPy, six or more terms), agreeing with a finite-volume run to 1e-6.
  it.each([
    ['slab', 1, 0.1, 0.99311],
    ['slab', 1, 0.2, 0.95064],
    ['slab', 1, 0.5, 0.77253],
    ['slab', 1, 1, 0.53386],
    ['cylinder', 10, 0.1, 0.90008],
    ['cylinder', 10, 0.5, 0.1458],
    ['sphere', 10, 0.1, 0.79576],
    ['sphere', 10, 0.2, 0.38266],
  ] as const)('%s, Bi %d, Fo %d has %d of the way to go', (shape, biot, fourier, theta) => {
    expect(Math.abs(centreTheta(shape, biot, fourier) - theta)).toBeLessThan(2e-5);
  });

  // Finite-volume run of another code: k 0.45, rho 1050, cp 3500, L 12.5 mm, steps of 0.25 s. The first step at or after
  // Fo 0.4 ends at 510.5 s, which is Fo 0.400065.
  it.each([
    ['slab', 0.62121],
    ['cylinder', 0.30821],
    ['sphere', 0.12709],
  ] as const)('%s at Bi 5 agrees with a finite-volume run', (shape, theta) => {
    const fourier = ((0.45 / (1050 * 3500)) * 510.5) / 0.0125 ** 2;
    expect(Math.abs(centreTheta(shape, 5, fourier) - theta)).toBeLessThan(5e-5);
  });

  it('is overstated by the first term alone, by 1.53 % at Fo 0.2', () => {
    expect(oneTermTheta('slab', 1, 0.2)).toBeCloseTo(0.96514, 4);
    expect(oneTermTheta('slab', 1, 0.2) / centreTheta('slab', 1, 0.2) - 1).toBeCloseTo(0.0153, 3);
  });

  it('equals the image solution in complementary error functions early on', () => {
    // Fixed surface: theta = 1 - 2 erfc(1/(2 sqrt Fo)) + 2 erfc(3/(2 sqrt Fo)) - ... (Carslaw & Jaeger 3.3, from
    // memory); erfc from @stdlib.
    for (const fourier of [0.006, 0.01, 0.02, 0.05, 0.1, 0.2]) {
      let theta = 1;
      for (let n = 0; n < 6; n += 1) theta -= (-1) ** n * 2 * erfc((2 * n + 1) / (2 * Math.sqrt(fourier)));
      expect(Math.abs(centreTheta('slab', Infinity, fourier) - theta)).toBeLessThan(1e-10);
    }
  });

  it('equals a slab of forty layers integrated by an independent solver', () => {
    // odex: Gragg-Bulirsch-Stoer after Hairer. 40 layers give 0.62133 where the exact value is 0.62121.
    const [cells, biot] = [40, 5];
    const width = 1 / cells;
    const solver = new Solver(cells);
    solver.absoluteTolerance = 1e-8;
    solver.relativeTolerance = 1e-8;
    const { y } = solver.solve(
      (_fo, theta) =>
        theta.map((here, i) => {
          const inward = i === 0 ? 0 : (theta[i - 1]! - here) / width;
          const surface = here / (1 / biot + width / 2);
          const outward = i === cells - 1 ? surface : (here - theta[i + 1]!) / width;
          return (inward - outward) / width;
        }),
      0,
      Array.from({ length: cells }, () => 1),
      0.4,
    );
    expect(Math.abs(y[0]! - centreTheta('slab', biot, 0.4))).toBeLessThan(3e-4);
  });

  it('has moved by 1 % at Fo 0.101 and by 5 % at 0.175 (slab, Bi 1.5)', () => {
    // Computed independently for the note on when a core moves.
    expect(Math.abs(centreTheta('slab', 1.5, 0.101) - 0.99)).toBeLessThan(5e-4);
    expect(Math.abs(centreTheta('slab', 1.5, 0.175) - 0.95)).toBeLessThan(1e-3);
  });

  it('multiplies over crossed bodies as the product solution says', () => {
    // Patty R 50 x half height 10 mm, h 50, k 0.47, alpha 1.35e-7, 600 s; brick half 46.5 x 25 x 13 mm, h 25, 780 s.
    // Computed independently; the product rule itself: Incropera, Fundamentals of Heat and Mass Transfer (memory).
    const theta = (shape: 'slab' | 'cylinder', halfM: number, h: number, s: number): number =>
      centreTheta(shape, (h * halfM) / 0.47, (1.35e-7 * s) / halfM ** 2);
    expect(theta('cylinder', 0.05, 50, 600) * theta('slab', 0.01, 50, 600)).toBeCloseTo(0.60043, 4);
    const brick = [0.0465, 0.025, 0.013].reduce((product, half) => product * theta('slab', half, 25, 780), 1);
    expect(brick).toBeCloseTo(0.73826, 4);
  });

  function secondsTo(
    shape: 'slab' | 'cylinder' | 'sphere',
    biot: number,
    fourierRateS: number,
    theta: number,
  ): number {
    let [low, high] = [0, 1e6];
    for (let i = 0; i < 80; i += 1) {
      const middle = (low + high) / 2;
      if (centreTheta(shape, biot, fourierRateS * middle) > theta) low = middle;
      else high = middle;
    }
    return (low + high) / 2;
  }

  it.each(CLOSED_FORMS)('$name reaches its target after $timeS s', (c) => {
    const halfM = c.thicknessMm / 2000;
    const theta = (c.ambientC - c.targetC) / (c.ambientC - c.startC);
    const seconds = secondsTo(c.shape, (c.hWm2K * halfM) / c.kWmK, c.alphaM2S / halfM ** 2, theta);
    expect(Math.abs(seconds - c.timeS)).toBeLessThan(c.toleranceS);
  });

  it('solves the textbook apple in its cold store', () => {
    // Singh & Heldman, Introduction to Food Engineering, Example 4.26 (problem read): sphere r 30 mm, h 50, k 0.355,
    // cp 3600, rho 820, 15 to 3 degC in 2 degC air: Bi 4.2254. 3778 s by the exact series.
    const alpha = 0.355 / (3600 * 820);
    expect((50 * 0.03) / 0.355).toBeCloseTo(4.2254, 4);
    expect(Math.abs(secondsTo('sphere', 4.2254, alpha / 0.03 ** 2, 1 / 13) - 3778)).toBeLessThan(5);
  });

  it('solves the textbook slabs in boiling water, time growing with the square of the thickness', () => {
    // Incropera, Fundamentals of Heat and Mass Transfer, Problem 5.119 (problem read): h 5000, water k 0.613,
    // rho 997, cp 4179; 20 to 60 degC in 100 degC: 67.5, 263.7, 588.7 s by the exact series.
    const alpha = 0.613 / (997 * 4179);
    const expected = [67.5, 263.7, 588.7];
    [0.005, 0.01, 0.015].forEach((halfM, i) => {
      const seconds = secondsTo('slab', (5000 * halfM) / 0.613, alpha / halfM ** 2, 0.5);
      expect(Math.abs(seconds - expected[i]!)).toBeLessThan(0.3);
    });
  });

  it('never moves backwards and never overshoots, whatever the shape and Biot number', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...SHAPES),
        fc.double({ min: 0.01, max: 300, noNaN: true }),
        fc.double({ min: 0, max: 3, noNaN: true }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (shape, biot, fourier, more) => {
          const now = centreTheta(shape, biot, fourier);
          const later = centreTheta(shape, biot, fourier + more);
          expect(now).toBeLessThanOrEqual(1 + 1e-9);
          expect(later).toBeGreaterThanOrEqual(-1e-12);
          expect(later).toBeLessThanOrEqual(now + 1e-9);
        },
      ),
    );
  });
});
