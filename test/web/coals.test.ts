import { describe, expect, it } from 'vitest';
import { axisX } from '../../web/views/live/axis.ts';
import { forecastLayout, knownMarks } from '../../web/views/live/coals.ts';
import { NEVER, NOW_MS, inMin, makeHold, makeRow, quantilesIn } from '../support/boards.ts';

const SHAPE = { widthPx: 700, heightPx: 65 };
const layout = (
  row: Parameters<typeof forecastLayout>[0],
  nowMs = NOW_MS,
  before: ReturnType<typeof forecastLayout> = null,
) => forecastLayout(row, nowMs, SHAPE, before);
const LATE = makeRow({
  quantilesMs: quantilesIn(29, 34, 37, 40, 42, 45, 48, 53, 60, 72),
  gateMs: inMin(46),
  serveAtMs: inMin(76),
  restMin: 30,
});

describe('the coals of a row', () => {
  it('are ten when all ten moments lie on the axis', () => {
    expect(layout(makeRow())?.coals).toHaveLength(10);
  });

  it('are hollow after the latest take-off and filled before it', () => {
    const coals = layout(LATE)?.coals ?? [];
    expect(coals.filter((coal) => coal.isLate)).toHaveLength(4);
    expect(coals.filter((coal) => !coal.isLate)).toHaveLength(6);
  });

  it('never cross the gate', () => {
    const forecast = layout(LATE);
    const gateX = forecast?.gateX ?? NaN;
    expect(gateX).toBeCloseTo(axisX(46, 700), 6);
    for (const { x, isLate } of forecast?.coals ?? []) expect(isLate ? x > gateX : x < gateX).toBe(true);
  });

  it('that lie beyond 90 minutes are not drawn at the edge but told by a chevron', () => {
    const forecast = layout(
      makeRow({ quantilesMs: quantilesIn(70, 80, 85, 95, 100, 110, 120, 140, 160, null) }),
    );
    expect(forecast?.coals).toHaveLength(3);
    expect(forecast?.isBeyond).toBe(true);
    for (const { x } of forecast?.coals ?? []) expect(x).toBeLessThan(700 - 22);
  });

  it('do not exist without a forecast', () => {
    expect(layout(makeRow({ quantilesMs: null }))).toBeNull();
  });

  it('stay where they are until one of them moved by more than 3 px', () => {
    const first = layout(makeRow());
    expect(layout(makeRow(), NOW_MS + 2_000, first)).toBe(first);
    expect(layout(makeRow(), NOW_MS + 60_000, first)).not.toBe(first);
  });

  it('are laid anew when the width changes', () => {
    const first = layout(makeRow());
    expect(forecastLayout(makeRow(), NOW_MS, { ...SHAPE, widthPx: 500 }, first)).not.toBe(first);
  });
});

describe('the blocks of a bag or pot', () => {
  it('start where the bar ends', () => {
    const forecast = layout(makeHold());
    expect(forecast?.firstX ?? NaN).toBeLessThan(axisX(26, 700));
    expect(forecast?.coals).toHaveLength(10);
  });

  it('are none when it lasts beyond the axis', () => {
    const forecast = layout(makeHold({ quantilesMs: NEVER }));
    expect(forecast?.coals).toEqual([]);
    expect(forecast?.firstX).toBeNull();
    expect(forecast?.isBeyond).toBe(true);
  });
});

describe('known marks', () => {
  it('lie at their moment', () => {
    const [mark] = knownMarks([{ verb: 'turn', atMs: inMin(20) }], NOW_MS, SHAPE, []);
    expect(mark?.x).toBeCloseTo(axisX(20, 700), 6);
    expect(mark?.isSmall).toBe(false);
  });

  it('ride a stem where they would cover a heap', () => {
    const coals = layout(makeRow())?.coals ?? [];
    const [mark] = knownMarks([{ verb: 'turn', atMs: inMin(7) }], NOW_MS, SHAPE, coals);
    expect(mark?.isSmall).toBe(true);
  });

  it('ride a stem where they would cover the mark before them', () => {
    const marks = knownMarks(
      [
        { verb: 'turn', atMs: inMin(5) },
        { verb: 'off', atMs: inMin(5.5) },
      ],
      NOW_MS,
      SHAPE,
      [],
    );
    expect(marks.map((mark) => mark.isSmall)).toEqual([false, true]);
  });

  it('wait at the post when they are overdue, and are left out beyond the axis', () => {
    const marks = knownMarks(
      [
        { verb: 'off', atMs: inMin(-4) },
        { verb: 'serve', atMs: inMin(120) },
      ],
      NOW_MS,
      SHAPE,
      [],
    );
    expect(marks).toHaveLength(1);
    expect(marks[0]!.x).toBeLessThan(40);
  });
});
