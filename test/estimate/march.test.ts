import { describe, expect, it } from 'vitest';
import { courseOf } from '../../server/estimate/course.ts';
import { frameOf } from '../../server/estimate/drive.ts';
import type { Guess } from '../../server/estimate/drive.ts';
import { march, waitS } from '../../server/estimate/march.ts';
import { spectrumOf } from '../../server/estimate/modes.ts';
import { centreTheta } from '../../server/estimate/series.ts';
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
});
