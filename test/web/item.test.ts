import { describe, expect, it } from 'vitest';
import { BATCH_STATUSES, statusAfter } from '../../server/contract/steps.ts';
import { chartModel, clockTicks } from '../../web/views/item/chart-model.ts';
import type { ChartInput } from '../../web/views/item/chart-model.ts';
import { factsOf, slopeFact } from '../../web/views/item/facts.ts';
import { gapLimitMs, historyOf, joined, slopeOf, withNewest } from '../../web/views/item/history.ts';
import { keyed, typedTempC } from '../../web/views/item/keypad-value.ts';
import type { Key } from '../../web/views/item/keypad-value.ts';
import { freestPlace } from '../../web/views/item/label-place.ts';
import { wholeRowsPx } from '../../web/views/item/whole-rows.ts';
import { tableLines } from '../../web/views/item/readings-table.tsx';
import { movesOffered, stepsOffered } from '../../web/views/item/steps-offered.ts';
import { NOW_MS, ZONE, inMin, makeHold, makeRow } from '../support/boards.ts';

type Point = [number, number, number, number];
const point = (minutes: number, tempC: number): Point => [inMin(minutes), tempC, tempC, tempC];
const everyMin = (from: number, to: number, stepMin: number, tempC = (t: number) => 60 + t / 10): Point[] =>
  Array.from({ length: Math.round((to - from) / stepMin) + 1 }, (_, index) =>
    point(from + index * stepMin, tempC(from + index * stepMin)),
  );

describe('the history of a sensor', () => {
  it('is one stretch while nothing is missing', () => {
    expect(historyOf(everyMin(-30, 0, 0.5), NOW_MS)).toMatchObject({ gaps: [], stretches: [{ length: 61 }] });
  });

  it('is broken where readings stopped for more than a minute, and never bridged', () => {
    const { stretches, gaps } = historyOf([...everyMin(-30, -20, 0.25), ...everyMin(-13, 0, 0.25)], NOW_MS);
    expect(stretches).toHaveLength(2);
    expect(gaps).toEqual([{ fromMs: inMin(-20), toMs: inMin(-13) }]);
  });

  it('of a slow sender is not broken by its own pace: three intervals must be missed', () => {
    expect(gapLimitMs(everyMin(-30, 0, 1))).toBe(180_000);
    expect(gapLimitMs(everyMin(-30, 0, 0.1))).toBe(60_000);
    expect(historyOf(everyMin(-30, 0, 1), NOW_MS).gaps).toEqual([]);
  });

  it('ends with a gap when nothing came lately', () => {
    expect(historyOf(everyMin(-30, -5, 0.5), NOW_MS).gaps).toEqual([{ fromMs: inMin(-5), toMs: NOW_MS }]);
  });

  it('leaves out what is no number', () => {
    expect(
      historyOf([point(-1, 60), [inMin(-0.5), NaN, NaN, NaN], point(0, 61)], NOW_MS).stretches.flat(),
    ).toHaveLength(2);
  });

  it('takes in live readings that came after what was fetched, each once', () => {
    const live = withNewest(withNewest(withNewest([], inMin(0), 63), inMin(0), 63), inMin(0.5), 64);
    expect(live).toHaveLength(2);
    expect(joined(everyMin(-2, 0, 1), live)).toHaveLength(4);
    expect(joined([], live)).toEqual(live);
  });

  it('tells its slope from the last ten minutes without a gap', () => {
    const rising = historyOf(
      everyMin(-30, 0, 0.5, (t) => 80 + t / 6),
      NOW_MS,
    );
    expect(slopeOf(rising)).toBeCloseTo(1 / 6, 6);
    expect(
      slopeOf(historyOf([...everyMin(-30, -20, 0.25), point(-0.5, 80), point(0, 81)], NOW_MS)),
    ).toBeNull();
  });
});

describe('the chart of a row', () => {
  const input = (change: Partial<ChartInput> = {}): ChartInput => ({
    row: makeRow(),
    history: historyOf(everyMin(-60, 0, 0.5), NOW_MS),
    steps: [],
    checks: [],
    nowMs: NOW_MS,
    span: 'around',
    isLost: false,
    ...change,
  });

  it('draws the doneness target and the critical limit as two lines', () => {
    expect(chartModel(input()).levels).toMatchObject([
      { y: 75, kind: 'target', text: 'Take off at 75°' },
      { y: 70, kind: 'limit', text: 'Limit 70 °C for 2 min' },
    ]);
    expect(chartModel(input({ row: makeHold() })).levels).toMatchObject([{ y: 8, kind: 'limit' }]);
  });

  it('runs ten curves from now to the target, ending where the coals lie', () => {
    const { curves, coals, coalsY } = chartModel(input());
    expect(curves).toHaveLength(10);
    curves.forEach(({ points }, index) => {
      expect(points[0]).toEqual({ x: 0, y: 68.4 });
      expect(points.at(-1)!.y).toBeCloseTo(coalsY!, 9);
      expect(points.at(-1)!.x).toBeCloseTo(coals[index]!.x, 9);
    });
  });

  it('leaves a break in the line at every gap', () => {
    const history = historyOf([...everyMin(-30, -20, 0.25), ...everyMin(-13, 0, 0.25)], NOW_MS);
    const model = chartModel(input({ history }));
    expect(model.line.filter(({ y }) => Number.isNaN(y))).toHaveLength(1);
    expect(model.gaps).toMatchObject([{ from: -20, to: -13, text: '7 min' }]);
  });

  it('projects nothing from a reading that is not live', () => {
    expect(chartModel(input({ isLost: true }))).toMatchObject({ curves: [], coals: [], now: null });
  });

  it('marks a newest value that is suspect', () => {
    expect(chartModel(input({ row: makeRow({ suspect: true }) })).nowMark).toBe('?');
    expect(chartModel(input()).nowMark).toBe('');
  });

  it('projects nothing without a forecast', () => {
    expect(chartModel(input({ row: makeRow({ quantilesMs: null }) }))).toMatchObject({
      curves: [],
      coals: [],
    });
  });

  it('has room for every reading and every level', () => {
    const { yMin, yMax } = chartModel(input());
    expect(yMin).toBeLessThan(54);
    expect(yMax).toBeGreaterThan(75);
  });

  it('is not squeezed by what no food can have', () => {
    const wild = [...everyMin(-60, -2, 0.5), point(-1.5, 412), point(-1, -58), point(0, 60)];
    const { yMin, yMax } = chartModel(input({ history: historyOf(wild, NOW_MS) }));
    expect(yMin).toBeGreaterThan(0);
    expect(yMax).toBeLessThan(130);
  });

  it('ticks on round clock times', () => {
    const ticks = clockTicks(-95, 92, NOW_MS, 7).map((x) => new Date(inMin(x)).getUTCMinutes());
    expect(ticks.length).toBeGreaterThan(3);
    expect(ticks.every((minute) => minute % 30 === 0)).toBe(true);
  });
});

describe('the facts of a row', () => {
  const facts = (row = makeRow(), isLost = false) =>
    factsOf({ row, nowMs: NOW_MS, timeZone: ZONE, slopeCPerMin: 1 / 6, isLost });

  it('name the limit with its source and how it was read', () => {
    const limit = facts().find(({ label }) => label === 'Limit');
    expect(limit?.text).toBe('70 °C for 2 min');
    expect(limit?.note).toContain('read in a page that quotes it');
  });

  it('say that there is no limit rather than hide it', () => {
    expect(facts(makeRow({ probe: 'never' }))).toContainEqual({
      label: 'Probe',
      text: 'never checked',
      note: '',
    });
    expect(facts(makeRow({ limit: null }))).toContainEqual({ label: 'Limit', text: 'none set', note: '' });
  });

  it('call an old number last read, never now, and give no slope', () => {
    const labels = facts(makeRow(), true).map(({ label }) => label);
    expect(labels).toContain('Last read');
    expect(labels).not.toContain('Now');
    expect(labels).not.toContain('Rising');
  });

  it('mark a suspect value with the word', () => {
    const now = facts(makeRow({ suspect: true, tempC: 34 })).find(({ label }) => label === 'Now');
    expect(now?.text).toMatch(/^34\.0°\? suspect, /);
  });

  it('dash what is now and how it moves off the fire once the probe is silent, with its age', () => {
    const rests = { state: 'resting', status: 'off', lastReadingMs: inMin(-4) } as const;
    expect(facts(makeRow(rests))).toContainEqual({ label: 'Now', text: '–, 4 min ago', note: '' });
    expect(facts(makeRow(rests))).toContainEqual({ label: 'Rising', text: '–', note: '' });
    expect(facts(makeRow({ ...rests, lastReadingMs: inMin(-0.5) }))).toContainEqual({
      label: 'Now',
      text: '68.4°, 30 s ago',
      note: '',
    });
  });

  it('tell the slope in degrees and minutes', () => {
    expect(slopeFact(1 / 6)).toMatchObject({ label: 'Rising', text: '1° in 6 min' });
    expect(slopeFact(-4)).toMatchObject({ label: 'Falling', text: '4° in 1 min' });
    expect(slopeFact(0.001).text).toBe('no, steady');
    expect(slopeFact(NaN).text).toBe('no, steady');
  });
});

describe('the steps on offer', () => {
  it.each(BATCH_STATUSES)('for a batch that is %s are steps that may follow', (status) => {
    for (const isReserve of [false, true]) {
      const { main, others } = stepsOffered(status, isReserve);
      for (const step of [...(main === null ? [] : [main]), ...others])
        expect(statusAfter(status, step)).not.toBeNull();
    }
  });

  it('put taking off first while a batch is on the fire', () => {
    expect(stepsOffered('on', false)).toEqual({
      main: 'off',
      others: ['turned', 'moved', 'lid-opened', 'discarded'],
    });
  });

  it('heat a reserve dish rather than put it on', () => {
    expect(stepsOffered('packed', true).main).toBe('reheating');
  });

  it('move a batch to the parts of the grill by name, the present one marked', () => {
    const zones = [
      { id: 'z1', name: 'Left', heat: 'hot' as const, tempC: 240 },
      { id: 'z2', name: 'Middle', heat: 'medium' as const, tempC: null },
    ];
    expect(movesOffered(zones, 'Middle')).toEqual([
      { words: 'Left', isPresent: false, input: { step: 'moved', placeId: 'z1' } },
      { words: 'Middle', isPresent: true, input: { step: 'moved', placeId: 'z2' } },
    ]);
    expect(movesOffered([], 'Middle').map(({ input: { zone } }) => zone)).toEqual([
      'hot',
      'medium',
      'gentle',
      'indirect',
    ]);
  });

  it('are none after serving', () => {
    expect(stepsOffered('served', false)).toEqual({ main: null, others: [] });
  });
});

describe('the words on the chart', () => {
  const box = (left: number, top: number) => ({ box: { left, top, right: left + 40, bottom: top + 20 } });
  const area = { left: 0, top: 0, right: 200, bottom: 200 };
  const post = { left: 98, right: 102, top: 0, bottom: 200 };

  it('stand where they are offered first when nothing is there', () => {
    expect(freestPlace([box(10, 10), box(120, 10)], { hard: [], soft: [], area })).toEqual(box(10, 10));
  });

  it('do not lie across the post where there is room elsewhere', () => {
    expect(freestPlace([box(80, 10), box(120, 10)], { hard: [post], soft: [], area })).toEqual(box(120, 10));
  });

  it('rather cover a curve than the post, and nothing rather than a curve', () => {
    const soft = [{ x: 130, y: 20 }];
    expect(freestPlace([box(80, 10), box(120, 10)], { hard: [post], soft, area })).toEqual(box(120, 10));
    expect(freestPlace([box(120, 10), box(120, 60)], { hard: [post], soft, area })).toEqual(box(120, 60));
  });

  it('stay inside the chart', () => {
    expect(freestPlace([box(170, 10), box(80, 10)], { hard: [post], soft: [], area })).toEqual(box(80, 10));
  });
});

describe('the list of facts', () => {
  it('ends between two rows', () => {
    expect(wholeRowsPx([33, 66, 160, 193], 170)).toBe(160);
    expect(wholeRowsPx([33, 66], 20)).toBe(33);
  });
});

describe('the table of readings', () => {
  it('tells readings of one minute apart', () => {
    const history = historyOf([point(-0.5, 60), point(-0.25, 61)], NOW_MS);
    expect(tableLines(history, ZONE).map(({ cells }) => cells[0])).toEqual(['18:03:45', '18:03:30']);
  });
});

describe('the keypad', () => {
  const typed = (...keys: Key[]) => keys.reduce(keyed, '');

  it('takes digits and one decimal', () => {
    expect(typed('7', '2', '.', '4', '9')).toBe('72.4');
    expect(typed('.', '5')).toBe('0.5');
  });

  it('steps by one degree, below zero as well', () => {
    expect(typed('7', '2', '.', '4', '+')).toBe('73.4');
    expect(typed('0', '-')).toBe('-1');
  });

  it('takes the last key back', () => {
    expect(typed('7', '2', 'delete')).toBe('7');
  });

  it('knows what is no temperature of food', () => {
    expect(typedTempC('72.4')).toBe(72.4);
    expect(typedTempC('')).toBeNull();
    expect(typedTempC('-')).toBeNull();
    expect(typedTempC('400')).toBeNull();
  });
});
