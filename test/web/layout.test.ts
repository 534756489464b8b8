import { describe, expect, it } from 'vitest';
import {
  belowFold,
  fitPx,
  fitTwoLinesPx,
  liveLayout,
  nameFit,
  startsGroup,
} from '../../web/views/live/layout.ts';
import { makeBoard, makeRow } from '../support/boards.ts';

const { rows } = makeBoard();
const at = (widthPx: number, heightPx: number, many = rows) => liveLayout({ widthPx, heightPx }, many);

describe('the layout of the live screen', () => {
  it.each([
    [1280, 800, 'wide'],
    [800, 1280, 'upright'],
    [390, 844, 'phone'],
    [320, 568, 'phone'],
    [844, 390, 'phone'],
    [640, 400, 'phone'],
  ])('at %i x %i is %s', (widthPx, heightPx, kind) => {
    expect(at(widthPx, heightPx).kind).toBe(kind);
  });

  it('shows five grill rows and four holds without scrolling on the reference tablet', () => {
    const { grillPx, holdPx } = at(1280, 800);
    expect([grillPx, holdPx]).toEqual([66, 60]);
    expect(5 * grillPx + 4 * holdPx).toBeLessThanOrEqual(800 - 128 - 60 - 42);
  });

  it('makes rows a little lower before it scrolls, never lower than a target of 44 px', () => {
    const { grillPx, holdPx } = at(1280, 750);
    expect(5 * grillPx + 4 * holdPx).toBeLessThanOrEqual(750 - 230);
    expect(Math.min(grillPx, holdPx)).toBeGreaterThanOrEqual(44);
  });

  it('keeps full rows and scrolls when there are too many', () => {
    expect(
      at(
        1280,
        800,
        Array.from({ length: 15 }, () => makeRow()),
      ).grillPx,
    ).toBe(66);
  });

  it('lets a low screen scroll as a whole', () => {
    expect(at(640, 400).isPageScrolled).toBe(true);
    expect(at(1280, 800).isPageScrolled).toBe(false);
  });

  it('rules off the grill, the cold and the hot', () => {
    const starts = rows.flatMap((row, index) => (startsGroup(rows, index) ? [row.id] : []));
    expect(starts).toEqual(['raw-bag', 'barley']);
  });
});

describe('a line that must fit', () => {
  it('keeps its size while there is room and shrinks when there is not', () => {
    expect(fitPx('Turn kofta', 92, 700)).toBe(92);
    expect(fitPx('Take off halloumi', 92, 500)).toBeLessThan(60);
  });

  it('breaks into two lines before it becomes small', () => {
    expect(fitTwoLinesPx('Take off halloumi', 92, 500)).toBeGreaterThan(fitPx('Take off halloumi', 92, 500));
    expect(fitTwoLinesPx('Take off halloumi', 92, 500)).toBeLessThanOrEqual(60);
  });
});

describe('the name of a row', () => {
  // Widths in em: ten letters of the face, "by clock" and "reserve" at its mean letter of 0.53.
  const name = { nameEm: 5.3, tempEm: 4.24, tagEm: null, frame: 'plain' as const };

  it('of ten letters stands whole beside its temperature, smaller rather than cut', () => {
    const { sizePx } = nameFit(name, 'wide', 1280);
    expect(sizePx).toBeLessThan(40);
    expect(sizePx * 5.3).toBeLessThanOrEqual(556 - 288 - 4.24 * 25);
  });

  it('keeps its full size where it fits', () => {
    expect(nameFit({ ...name, nameEm: 2.5 }, 'wide', 1280)).toEqual({ sizePx: 40, isStacked: false });
    expect(nameFit(name, 'phone', 390).sizePx).toBeGreaterThan(18);
  });

  it('has its tag below it where both would touch the temperature', () => {
    const tagged = { ...name, tagEm: 3.7 };
    expect(nameFit(tagged, 'wide', 1280).isStacked).toBe(true);
    expect(nameFit({ ...tagged, nameEm: 2, tempEm: 2 }, 'wide', 1280).isStacked).toBe(false);
  });
});

describe('the rows below the fold', () => {
  it('are those that are not wholly to be seen', () => {
    const bottomsPx = [66, 132, 198, 264];
    expect(belowFold({ scrolledPx: 0, shownPx: 150, bottomsPx })).toBe(2);
    expect(belowFold({ scrolledPx: 114, shownPx: 150, bottomsPx })).toBe(0);
  });
});
