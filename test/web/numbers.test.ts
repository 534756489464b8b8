import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { clockNumber, foodRange, holdNumber, remember, steadyMs } from '../../web/views/live/numbers.ts';
import { NOW_MS, inMin, makeHold, makeRow, quantilesIn } from '../support/boards.ts';

// Ranges as drawn in the design note "The look", sections 6 and 10.
describe('the time left of food', () => {
  it.each([
    [5.9, 8.6, '6–9'],
    [9.4, 13.6, '9–14'],
    [14.3, 21.2, '14–21'],
    [34, 60, '30–60'],
    [24, 76, '20–80'],
  ])('from %f to %f minutes reads %s', (low, high, text) => {
    expect(foodRange(low, high)).toEqual({ text, unit: 'min' });
  });

  it('is one number when both ends read the same', () => {
    expect(foodRange(6.1, 6.4)?.text).toBe('6');
  });

  it('is told in hours when it begins beyond 90 minutes', () => {
    expect(foodRange(190, 290)).toEqual({ text: '3–5', unit: 'h' });
  });

  it('ends with 90+ when its late end lies beyond 90 minutes or may never come', () => {
    expect(foodRange(40, 130)?.text).toBe('40–90+');
    expect(foodRange(40, null)?.text).toBe('40–90+');
  });

  it('is unknown when nine chances in ten may never come', () => {
    expect(foodRange(null, null)).toBeNull();
    expect(foodRange(NaN, 12)).toBeNull();
  });

  it('never claims more than the forecast above 30 minutes: the range is widened outward', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 89, noNaN: true }),
        fc.double({ min: 30, max: 90, noNaN: true }),
        (low, high) => {
          const shown = foodRange(Math.min(low, high), high)?.text.split('–').map(Number) ?? [];
          return shown[0]! <= Math.min(low, high) && shown.at(-1)! >= high;
        },
      ),
    );
  });
});

describe('how long a bag or pot lasts', () => {
  it.each([
    [26, '25+'],
    [66, '65+'],
    [24, '20+'],
    [9.9, '9+'],
    [0.4, '0+'],
    [120, '90+'],
    [null, '90+'],
  ])('with the first moment in %s minutes reads %s', (first, text) => {
    expect(holdNumber(first).text).toBe(text);
  });

  it('is never rounded up', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 89.9, noNaN: true }),
        (first) => parseInt(holdNumber(first).text, 10) <= first,
      ),
    );
  });
});

describe('a moment that is known', () => {
  it('is one number of whole minutes', () => {
    expect(clockNumber(8.2).text).toBe('8');
    expect(clockNumber(-1).text).toBe('0');
    expect(clockNumber(200).text).toBe('90+');
    expect(clockNumber(NaN).text).toBe('90+');
  });
});

describe('a number on the screen', () => {
  const shown = inMin(6);

  it('falls at once', () => {
    expect(steadyMs(shown, inMin(5.9), NOW_MS)).toBe(inMin(5.9));
  });

  it('does not dither: a rise of less than 10 % of the time left is not shown', () => {
    expect(steadyMs(shown, inMin(6.5), NOW_MS)).toBe(shown);
    expect(steadyMs(shown, inMin(6.7), NOW_MS)).toBe(inMin(6.7));
  });

  it('rises when the forecast moved by more than a minute, however far away it is', () => {
    expect(steadyMs(inMin(50), inMin(50.9), NOW_MS)).toBe(inMin(50));
    expect(steadyMs(inMin(50), inMin(51.1), NOW_MS)).toBe(inMin(51.1));
  });

  it('shows a rise that was held back once it is more than 10 % of what is left', () => {
    const kept = steadyMs(shown, inMin(6.5), NOW_MS);
    expect(steadyMs(kept, inMin(6.5), inMin(3))).toBe(inMin(6.5));
  });

  it('is gone as soon as there is no forecast', () => {
    expect(steadyMs(shown, null, NOW_MS)).toBeNull();
  });
});

describe('what is remembered of a row', () => {
  it('counts food from the second to the ninth moment', () => {
    const memory = remember(undefined, makeRow(), NOW_MS);
    expect(memory.lowMs).toBe(inMin(5.9));
    expect(memory.highMs).toBe(inMin(8.6));
  });

  it('counts a bag from its first moment', () => {
    expect(remember(undefined, makeHold(), NOW_MS).lowMs).toBe(inMin(26));
  });

  it('forgets its numbers without a forecast but keeps the moments for the ghost', () => {
    const before = remember(undefined, makeRow(), NOW_MS);
    const after = remember(before, makeRow({ quantilesMs: null }), NOW_MS);
    expect(after).toEqual({ lowMs: null, highMs: null, quantilesMs: before.quantilesMs });
  });

  it('never lets the late end fall before the early end', () => {
    const before = remember(
      undefined,
      makeRow({ quantilesMs: quantilesIn(5, 5, 5, 5, 5, 5, 5, 5, 5.1, 6) }),
      NOW_MS,
    );
    const after = remember(
      before,
      makeRow({ quantilesMs: quantilesIn(5.6, 5.55, 5.6, 5.6, 5.6, 5.6, 5.6, 5.6, 5.6, 6) }),
      NOW_MS,
    );
    expect(after.highMs!).toBeGreaterThanOrEqual(after.lowMs!);
  });
});
