import { describe, expect, it } from 'vitest';
import { ActionSchema } from '../../server/contract/board.ts';
import { BATCH_STATUSES, statusAfter } from '../../server/contract/steps.ts';
import { knownMarks, nextActions, type PlanBatch } from '../../server/plan/next-actions.ts';
import { atMin, batch, coals, MIN } from './builders.ts';

const brief = (nowMin: number, ...batches: PlanBatch[]) =>
  nextActions({ batches, nowMs: atMin(nowMin) }).map(({ verb, atMs }) => [verb, (atMs - atMin(0)) / MIN]);
const on = (q: Partial<PlanBatch> = {}) => batch({ status: 'on', onMs: atMin(0), ...q });
const everyFour = { kind: 'every', seconds: 240 } as const;

describe('putting on', () => {
  it('comes at the planned time, and is recorded as "on"', () => {
    const [action] = nextActions({ batches: [batch({ plannedOnMs: atMin(10) })], nowMs: atMin(0) });
    expect(ActionSchema.parse(action)).toEqual({
      id: 'kofta-1-on',
      verb: 'on',
      rowId: 'kofta-1',
      batchId: 'kofta-1',
      short: 'Kofta',
      full: 'Lamb kofta',
      atMs: atMin(10),
      known: true,
      step: 'on',
    });
  });

  it('is not asked for without a planned time', () => {
    expect(brief(0, batch(), batch({ status: 'packed' }))).toEqual([]);
  });
});

describe('turning', () => {
  it('once: half-way through the expected cook', () => {
    expect(brief(0, on({ turnPlan: { kind: 'once' }, expectedCookMs: 20 * MIN }))).toEqual([['turn', 10]]);
  });

  it('once: not again after it was turned, and not where the cook cannot be estimated', () => {
    expect(
      brief(0, on({ turnPlan: { kind: 'once' }, expectedCookMs: 20 * MIN, lastTurnMs: atMin(9) })),
    ).toEqual([]);
    expect(brief(0, on({ turnPlan: { kind: 'once' } }))).toEqual([]);
  });

  it('once: stays even where take-off is early, short of the last eighth of the cook', () => {
    const early = (offMin: number) =>
      on({ turnPlan: { kind: 'once' }, expectedCookMs: 20 * MIN, clockOffMs: atMin(offMin) });
    expect(brief(0, early(12.5))).toEqual([
      ['turn', 10],
      ['off', 12.5],
    ]);
    expect(brief(0, early(12.4))).toEqual([['off', 12.4]]);
  });

  it('every: so long after it went on or was last turned', () => {
    expect(brief(0, on({ turnPlan: everyFour }))).toEqual([['turn', 4]]);
    expect(brief(5, on({ turnPlan: everyFour, lastTurnMs: atMin(5) }))).toEqual([['turn', 9]]);
  });

  it('every: not within the last quarter of an interval before take-off', () => {
    expect(brief(0, on({ turnPlan: everyFour, clockOffMs: atMin(5) }))).toEqual([
      ['turn', 4],
      ['off', 5],
    ]);
    expect(brief(0, on({ turnPlan: everyFour, clockOffMs: atMin(4.9) }))).toEqual([['off', 4.9]]);
    expect(brief(0, on({ turnPlan: everyFour, quantilesMs: coals(3.5) }))).toEqual([['off', 4.5]]);
  });

  it('is not asked for once it is ready, or when no turn is planned', () => {
    expect(brief(6, on({ turnPlan: everyFour, readySinceMs: atMin(5) }))).toEqual([['off', 5]]);
    expect(brief(5, on({ turnPlan: everyFour, clockOffMs: atMin(5) }))).toEqual([['off', 5]]);
    expect(brief(6, on({ turnPlan: everyFour, clockOffMs: atMin(5) }))).toEqual([['off', 5]]);
    expect(brief(6, on())).toEqual([]);
  });

  it('is not asked for while nobody said when it went on', () => {
    expect(brief(6, on({ turnPlan: everyFour, onMs: null }))).toEqual([]);
  });

  it('each turn is an action of its own, so that doing one does not look like doing the next', () => {
    const id = (lastTurnMs: number | null) =>
      nextActions({ batches: [on({ turnPlan: everyFour, lastTurnMs })], nowMs: atMin(5) })[0]?.id;
    expect(id(null)).not.toBe(id(atMin(4)));
  });
});

describe('taking off', () => {
  const off = (nowMin: number, q: Partial<PlanBatch>) =>
    nextActions({ batches: [on(q)], nowMs: atMin(nowMin) })[0];

  it('is now when it is ready, since it became ready', () => {
    expect(off(9, { readySinceMs: atMin(8), clockOffMs: atMin(20), quantilesMs: coals(5) })).toMatchObject({
      atMs: atMin(8),
      known: true,
      step: 'off',
    });
  });

  it('is known by the clock', () => {
    expect(off(0, { clockOffMs: atMin(8), quantilesMs: coals(5) })).toMatchObject({
      atMs: atMin(8),
      known: true,
    });
  });

  it('is the early edge of the forecast, the second coal, and not known', () => {
    expect(off(0, { quantilesMs: coals(5) })).toMatchObject({ atMs: atMin(6), known: false });
  });

  it('of food that is not ready is never now, however late the early edge', () => {
    expect(off(9, { quantilesMs: coals(5) })).toMatchObject({ atMs: atMin(10), known: false });
  });

  it('is not asked for while it may never come, or nothing is known', () => {
    expect(off(0, { quantilesMs: [atMin(5), ...Array.from({ length: 9 }, () => null)] })).toBeUndefined();
    expect(off(0, { quantilesMs: [] })).toBeUndefined();
    expect(off(0, {})).toBeUndefined();
  });

  it('is also asked for of a reserve dish that is being heated, which is not turned', () => {
    expect(
      brief(0, on({ status: 'reheating', reserve: true, turnPlan: everyFour, quantilesMs: coals(5) })),
    ).toEqual([['off', 6]]);
    expect(brief(0, batch({ status: 'reheating', reserve: true }))).toEqual([]);
  });
});

describe('serving', () => {
  const away = (q: Partial<PlanBatch>) => batch({ status: 'off', offMs: atMin(0), ...q });

  it('comes after the rest and not before the serving time', () => {
    expect(brief(0, away({ restUntilMs: atMin(5), serveAtMs: atMin(3) }))).toEqual([['serve', 5]]);
    expect(brief(0, away({ restUntilMs: atMin(5), serveAtMs: atMin(30) }))).toEqual([['serve', 30]]);
    expect(brief(0, away({ status: 'held', serveAtMs: atMin(30) }))).toEqual([['serve', 30]]);
  });

  it('without a rest or a serving time it is due when it comes off', () => {
    expect(brief(0, away({}))).toEqual([['serve', 0]]);
  });

  it('is not asked for where no time at all is known', () => {
    expect(brief(0, away({ offMs: null }))).toEqual([]);
  });
});

describe('a check by hand', () => {
  it('is wanted since nobody measured the core, and is no step of its own', () => {
    const away = batch({ status: 'off', offMs: atMin(0), serveAtMs: atMin(9), needsCheckMs: atMin(2) });
    const [action] = nextActions({ batches: [away], nowMs: atMin(3) });
    expect(ActionSchema.parse(action)).toMatchObject({
      id: 'kofta-1-check',
      verb: 'check',
      atMs: atMin(2),
      known: true,
      step: null,
    });
  });

  it('is asked for on the fire, off it and while held, and in no other status', () => {
    const asked = BATCH_STATUSES.filter((status) =>
      nextActions({ batches: [batch({ status, needsCheckMs: atMin(2) })], nowMs: atMin(3) }).some(
        ({ verb }) => verb === 'check',
      ),
    );
    expect(asked).toEqual(['on', 'off', 'held']);
  });

  it('comes before serving at the same moment, and after what spoils first', () => {
    expect(brief(0, batch({ status: 'off', offMs: atMin(0), needsCheckMs: atMin(0) }))).toEqual([
      ['check', 0],
      ['serve', 0],
    ]);
    expect(brief(4, on({ clockOffMs: atMin(4), needsCheckMs: atMin(4) }))).toEqual([
      ['off', 4],
      ['check', 4],
    ]);
  });

  it('is not asked for when none is wanted', () => {
    expect(brief(0, batch({ status: 'held', offMs: atMin(0) }))).toEqual([['serve', 0]]);
  });

  it('is no mark on the lane', () => {
    const held = batch({ status: 'held', serveAtMs: atMin(30), needsCheckMs: atMin(2) });
    expect(knownMarks(held, atMin(3))).toEqual([{ verb: 'serve', atMs: atMin(30) }]);
  });
});

describe('the reserve dish', () => {
  it('is heated at its latest start, from wherever it waits, and not put on', () => {
    for (const status of ['planned', 'packed', 'cooling', 'chilled'] as const) {
      expect(
        brief(0, batch({ status, reserve: true, heatLatestMs: atMin(41), plannedOnMs: atMin(1) })),
      ).toEqual([['heat', 41]]);
    }
  });

  it('only a reserve dish is heated', () => {
    expect(brief(0, batch({ status: 'chilled', heatLatestMs: atMin(41), plannedOnMs: atMin(1) }))).toEqual(
      [],
    );
    expect(brief(0, batch({ status: 'cooling', heatLatestMs: atMin(41) }))).toEqual([]);
  });
});

describe('the order', () => {
  it('what has been due longest comes first, then what comes next', () => {
    const names = nextActions({
      nowMs: atMin(10),
      batches: [
        batch({ batchId: 'later', plannedOnMs: atMin(15) }),
        on({ batchId: 'due-1', clockOffMs: atMin(9) }),
        on({ batchId: 'due-2', clockOffMs: atMin(7) }),
        on({ batchId: 'soon', quantilesMs: coals(11) }),
      ],
    }).map(({ batchId }) => batchId);
    expect(names).toEqual(['due-2', 'due-1', 'soon', 'later']);
  });

  it('taking off comes before turning, and turning before putting on, at the same moment', () => {
    const verbs = brief(
      4,
      batch({ batchId: 'a', plannedOnMs: atMin(4) }),
      on({ batchId: 'b', turnPlan: everyFour }),
      on({ batchId: 'c', clockOffMs: atMin(4) }),
    ).map(([verb]) => verb);
    expect(verbs).toEqual(['off', 'turn', 'on']);
  });

  it('equals keep one order, whatever order they are given in', () => {
    const a = batch({ batchId: 'a', plannedOnMs: atMin(4) });
    const b = batch({ batchId: 'b', plannedOnMs: atMin(4) });
    const ids = (...batches: PlanBatch[]) => nextActions({ batches, nowMs: atMin(0) }).map(({ id }) => id);
    expect(ids(a, b)).toEqual(ids(b, a));
  });
});

describe('every status', () => {
  it('asks only for steps that may follow it', () => {
    for (const status of BATCH_STATUSES) {
      for (const reserve of [false, true]) {
        const full = batch({
          status,
          reserve,
          onMs: atMin(0),
          offMs: atMin(0),
          plannedOnMs: atMin(1),
          heatLatestMs: atMin(1),
          clockOffMs: atMin(20),
          turnPlan: everyFour,
        });
        for (const { step } of nextActions({ batches: [full], nowMs: atMin(0) })) {
          expect([status, step, step !== null && statusAfter(status, step) !== null]).toEqual([
            status,
            step,
            true,
          ]);
        }
      }
    }
  });

  it('nothing is asked for what is served or thrown away', () => {
    expect(
      brief(
        0,
        batch({ status: 'served', serveAtMs: atMin(1) }),
        batch({ status: 'discarded', plannedOnMs: atMin(1) }),
      ),
    ).toEqual([]);
  });
});

describe('the known marks of a row', () => {
  it('are what is known, in order of time, without the forecast', () => {
    expect(knownMarks(on({ turnPlan: everyFour, clockOffMs: atMin(8) }), atMin(0))).toEqual([
      { verb: 'turn', atMs: atMin(4) },
      { verb: 'off', atMs: atMin(8) },
    ]);
    expect(knownMarks(on({ turnPlan: everyFour, quantilesMs: coals(20) }), atMin(0))).toEqual([
      { verb: 'turn', atMs: atMin(4) },
    ]);
  });

  it('show when it is to go on', () => {
    expect(knownMarks(batch({ plannedOnMs: atMin(3) }), atMin(0))).toEqual([{ verb: 'on', atMs: atMin(3) }]);
  });

  it('show the end of the rest, the heating, and the take-off that is due', () => {
    expect(knownMarks(batch({ status: 'off', offMs: atMin(0), restUntilMs: atMin(22) }), atMin(0))).toEqual([
      { verb: 'serve', atMs: atMin(22) },
    ]);
    expect(knownMarks(batch({ reserve: true, heatLatestMs: atMin(41) }), atMin(0))).toEqual([
      { verb: 'heat', atMs: atMin(41) },
    ]);
    expect(knownMarks(on({ readySinceMs: atMin(5) }), atMin(6))).toEqual([{ verb: 'off', atMs: atMin(5) }]);
  });
});
