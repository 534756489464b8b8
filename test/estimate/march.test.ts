import { describe, expect, it } from 'vitest';
import { courseOf } from '../../server/estimate/course.ts';
import { frameOf } from '../../server/estimate/drive.ts';
import type { Guess } from '../../server/estimate/drive.ts';
import { march, waitS } from '../../server/estimate/march.ts';
import { gridOf } from '../../server/estimate/profile.ts';
import { centreTheta } from '../reference/conduction/series.ts';
import { ON_MS } from './questions.ts';

const GUESS: Guess = {
  kappaPerS: 1e-3,
  biot: 1.5,
  startC: 5,
  share: 1,
  shifts: [0],
  wander: [],
  steam: 0,
  lean: 0,
  lidDip: 0,
  tip: 0,
};

function plainCourse(): NonNullable<ReturnType<typeof courseOf>> {
  const events = [{ atMs: ON_MS, step: 'on' as const, zone: 'hot' as const }];
  return courseOf({ nowMs: ON_MS, events, zone: 'hot', zoneC: null, turnPlan: { kind: 'none' }, startC: 5 })!;
}

const AHEAD = { targetC: 75, offsetC: 0, turnsInS: [], wander: 0 };

describe('the core of a piece between two sides', () => {
  // Truth: the conduction series, test/reference/conduction (Carslaw & Jaeger; Cengel Table 4-2).
  it.each(['slab', 'cylinder', 'sphere'] as const)('follows the exact series in a %s', (shape) => {
    const course = plainCourse();
    const frame = frameOf(
      course,
      Array.from({ length: 24 }, (_, k) => 50 * (k + 1)),
    );
    const { tipC } = march(course, frame, GUESS, gridOf(shape));
    const excess = course.stays[0]!.excessC;
    [...frame.timesS].forEach((atS, k) => {
      const exact = atS < 20 ? 1 : centreTheta(shape, 1.5, 1e-3 * atS);
      expect(Math.abs(tipC[k]! - (5 + excess * (1 - exact)))).toBeLessThan(0.008 * excess);
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
    const { tipC } = march(course, frame, { ...GUESS, shifts: [0, 0] }, gridOf('cylinder'));
    const moved = 1 - centreTheta('cylinder', 1.5, 0.9);
    const after = 1 - centreTheta('cylinder', 1.5, 0.6);
    const exactC = 5 + first! * moved + (second! - first!) * after;
    expect(Math.abs(tipC.at(-1)! - exactC)).toBeLessThan(1);
  });

  it('waits as long as the series says, from any state on the way', () => {
    const course = plainCourse();
    const run = march(course, frameOf(course, [150]), GUESS, gridOf('sphere'));
    const wait = waitS(course, run, GUESS, AHEAD);
    const arrivedC = 5 + course.stays[0]!.excessC * (1 - centreTheta('sphere', 1.5, 1e-3 * (150 + wait)));
    expect(Math.abs(arrivedC - 75)).toBeLessThan(1.5);
  });

  it('never arrives where the fire does not reach', () => {
    const course = plainCourse();
    const run = march(course, frameOf(course, [150]), GUESS, gridOf('slab'));
    expect(waitS(course, run, GUESS, { ...AHEAD, targetC: 300 })).toBe(Infinity);
  });

  it('feels two unlike sides as their mean, whichever way up it lies', () => {
    const course = plainCourse();
    const turned = { ...course, turnsS: [300] };
    const tipAt = (guess: Guess, done: typeof course): number =>
      march(done, frameOf(done, [150, 300, 450, 600]), guess, gridOf('slab')).tipC.at(-1)!;
    const even = tipAt(GUESS, course);
    // Only unlike coefficients let the middle feel the difference, and that is a part of it (heat balance of both).
    expect(Math.abs(tipAt({ ...GUESS, lean: 0.8 }, course) / even - 1)).toBeLessThan(0.15);
    const off = { ...GUESS, lean: 0.8, tip: 0.1 };
    expect(tipAt(off, course)).toBeGreaterThan(tipAt({ ...off, tip: 0 }, course) + 1);
    expect(tipAt(off, turned)).toBeLessThan(tipAt(off, course) - 1);
  });

  it('keeps its slope for a while after a turn, and only then bends', () => {
    const course = { ...plainCourse(), turnsS: [400] };
    const guess = { ...GUESS, lean: 0.9 };
    const frame = frameOf(course, [390, 400, 410, 420]);
    const { tipC } = march(course, frame, guess, gridOf('slab'));
    const at = (atS: number): number => tipC[[...frame.timesS].indexOf(atS)]!;
    const [before, after] = [at(400) - at(390), at(410) - at(400)];
    expect(Math.abs(after / before - 1)).toBeLessThan(0.1);
  });

  it('arrives later the more of the heat goes into steam, and the more the fire wanes', () => {
    const course = plainCourse();
    const waitOf = (guess: Guess, wander = 0): number => {
      const run = march(course, frameOf(course, [150]), guess, gridOf('slab'));
      return waitS(course, run, guess, { ...AHEAD, wander });
    };
    expect(waitOf({ ...GUESS, steam: 0.3 })).toBeGreaterThan(1.2 * waitOf(GUESS));
    expect(waitOf({ ...GUESS, wander: [0, -0.2] })).toBeGreaterThan(waitOf(GUESS));
    expect(waitOf(GUESS, -0.3)).toBeGreaterThan(waitOf(GUESS, 0));
    expect(waitOf(GUESS, 0.3)).toBeLessThan(waitOf(GUESS, 0));
  });
});
