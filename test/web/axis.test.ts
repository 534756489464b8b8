import { describe, expect, it } from 'vitest';
import { axisMarks, axisX } from '../../web/views/live/axis.ts';
import { NOW_MS, ZONE, inMin } from '../support/boards.ts';

const WIDTH_PX = 700;

describe('the shared time axis', () => {
  it('puts now on the post and 90 minutes at the far end', () => {
    expect(axisX(0, WIDTH_PX)).toBe(0);
    expect(axisX(90, WIDTH_PX)).toBeCloseTo(WIDTH_PX, 10);
  });

  // Shares of the width, in whole percent, from the design note "The look", section 4 (its 74 % is 73.5 % by its own formula).
  it.each([
    [2, 0.1],
    [5, 0.22],
    [10, 0.35],
    [20, 0.53],
    [40, 0.74],
    [60, 0.86],
  ])('puts %i minutes at a share of %f of the width', (tMin, share) => {
    expect(Math.abs(axisX(tMin, 1) - share)).toBeLessThan(0.006);
  });

  it('never leaves the lane: what is past lies on the post, what is far lies at the end', () => {
    expect(axisX(-5, WIDTH_PX)).toBe(0);
    expect(axisX(600, WIDTH_PX)).toBeCloseTo(WIDTH_PX, 10);
  });
});

const serves = (...minutes: number[]) => minutes.map((t) => ({ id: `s${t}`, atMs: inMin(t) }));
const marks = (...minutes: number[]) =>
  axisMarks({ serves: serves(...minutes), timeZone: ZONE }, NOW_MS, { widthPx: WIDTH_PX, isPhone: false });

describe('serving flags', () => {
  it('carry the local clock time of the cookout', () => {
    expect(marks(26).flags.map((flag) => flag.text)).toEqual(['18:30']);
  });

  it('fly right of their pole, and left where there is no room', () => {
    expect(marks(26).flags[0]?.isLeft).toBe(false);
    expect(marks(85).flags[0]?.isLeft).toBe(true);
  });

  it('give way to the next one: two serving times near each other stay readable', () => {
    const [first, second] = marks(38, 84).flags;
    expect(first?.isLeft).toBe(true);
    expect(first!.x).toBeLessThanOrEqual(second!.x - 116);
  });

  it('wait beside the clock in their last minutes rather than cover it, while the pole moves on', () => {
    const { flags, poles } = marks(1);
    expect(flags[0]!.x).toBeGreaterThanOrEqual(110);
    expect(poles[0]).toBeCloseTo(axisX(1, WIDTH_PX), 9);
  });

  it('are not shown once they are past or beyond the axis', () => {
    expect(marks(-1, 91).flags).toEqual([]);
  });

  it('push away the ticks that they would cover', () => {
    const flagged = marks(26).ticks.map((tick) => tick.text);
    expect(marks().ticks.map((tick) => tick.text)).toContain('40');
    expect(flagged).toContain('20');
    const pole = axisX(26, WIDTH_PX);
    for (const { x } of marks(26).ticks) expect(x < pole - 10 || x > pole + 116).toBe(true);
  });

  it('name the unit on the first tick that is shown', () => {
    expect(marks().ticks[0]?.text).toMatch(/^\d+ min$/);
    expect(
      marks()
        .ticks.slice(1)
        .every((tick) => /^\d+$/.test(tick.text)),
    ).toBe(true);
  });
});
