import { describe, expect, it } from 'vitest';
import { aBatch, aDish, aPlace, MIN } from '../support/cookouts.ts';
import { Evening } from '../support/evening.ts';

const seat = (subjectId: string, sensorId: string) =>
  ({ subjectKind: 'batch', subjectId, sensorId, fromMs: 0, toMs: null }) as const;

describe('one probe for two loads', () => {
  function twoLoads(): Evening {
    const e = new Evening();
    e.change((s) => ({
      ...s,
      places: [],
      batches: [aBatch(), aBatch({ id: 'chicken-2', label: '2nd', order: 1 })],
      seats: [seat('chicken-1', 'core-probe'), seat('chicken-2', 'core-probe')],
    }));
    return e;
  }

  it('reads for the first load until it is off, and never passes its heat on to the second', () => {
    const e = twoLoads();
    e.step('on');
    e.pass(20, null, (min) => 5 + 3.7 * min);
    e.step('off');
    expect(e.row('batch-chicken-1').tempC).toBeGreaterThan(78);
    e.pass(0.5, null, () => 78);
    e.step('on', 'chicken-2');
    e.runtime.tick();
    expect(e.row('batch-chicken-2').tempC ?? 0).toBeLessThan(79);
    e.pass(3, null, () => 6);
    expect(e.row('batch-chicken-2')).toMatchObject({ tempC: 6, reads: { toMs: null } });
    // its probe is elsewhere: an old number is not shown
    expect(e.row('batch-chicken-1').tempC).toBeNull();
    expect(e.row('batch-chicken-1').reads?.toMs).toBeLessThan(e.nowMs);
    expect(e.board.alarms.filter((a) => a.kind === 'core-short')).toEqual([]);
  });
});

describe('what no probe can read', () => {
  it('is kept and not believed', () => {
    const e = new Evening();
    e.step('on');
    e.pass(3, null, () => 20);
    e.pass(3, null, () => 999);
    expect(e.row('batch-chicken-1')).toMatchObject({ state: 'silent', tempC: 20 });
  });
});

describe('a batch that nobody measured', () => {
  it('asks for a check by hand once it is off', () => {
    const e = new Evening();
    e.change((s) => ({ ...s, batches: [aBatch({ sensorId: null })], seats: [] }));
    e.step('on');
    e.step('off');
    e.runtime.tick();
    expect(e.board.next[0]).toMatchObject({ verb: 'check', step: null, batchId: 'chicken-1' });
  });
});

describe('a reheated dish', () => {
  it('does not pass on the cook of the day before', () => {
    const e = new Evening();
    e.step('on');
    e.pass(20, null, (min) => Math.min(80, 5 + 4 * min));
    for (const step of ['off', 'cooling', 'chilled', 'reheating'] as const) e.step(step);
    e.pass(5, null, () => 35);
    e.step('served');
    e.pass(0.2, null, () => 35);
    expect(e.board.alarms.map((a) => a.kind)).toContain('core-short');
  });
});

describe('a pot', () => {
  const pot = aPlace({
    id: 'pot',
    kind: 'pot',
    name: 'Stew pot',
    short: 'Stew pot',
    sensorIds: ['bag-probe', 'core-probe'],
  });
  function potEvening(): Evening {
    const e = new Evening();
    e.change((s) => ({
      ...s,
      places: [pot],
      batches: [aBatch({ placeId: 'pot', sensorId: null })],
      dishes: [aDish({ food: 'stew', targetC: null, clockMin: 10 })],
      seats: [
        { subjectKind: 'place', subjectId: 'pot', sensorId: 'bag-probe', fromMs: 0, toMs: null },
        { subjectKind: 'place', subjectId: 'pot', sensorId: 'core-probe', fromMs: 0, toMs: null },
      ],
    }));
    return e;
  }

  it('is watched by the probe that has been hot although another one never was', () => {
    const e = potEvening();
    e.pass(
      5,
      () => 80,
      () => 20,
    );
    expect(e.row('place-pot')).toMatchObject({ tempC: 80, sensorId: 'bag-probe' });
    e.pass(
      4,
      () => 55,
      () => 20,
    );
    expect(e.board.alarms[0]).toMatchObject({ kind: 'hot-under', valueC: 55 });
  });

  it('raises nothing while its food is cooled on purpose', () => {
    const e = potEvening();
    e.pass(
      5,
      () => 80,
      () => 80,
    );
    e.step('cooling');
    e.pass(
      10,
      () => 30,
      () => 30,
    );
    expect(e.board.alarms).toEqual([]);
  });
});

describe('a probe that is heard but not believed', () => {
  it('counts as one that cannot tell', () => {
    const e = new Evening();
    for (let i = 0; i < 20; i += 1) {
      e.nowMs += 10_000;
      e.hear('bag-probe', 4, { quality: 3 });
      e.runtime.tick();
    }
    expect(e.board.alarms[0]).toMatchObject({ kind: 'probe-silent', rowId: 'place-bag' });
    expect(e.row('place-bag').state).toBe('silent');
  });
});

describe('an alarm', () => {
  it('ends when its probe is taken out by hand, and says so in the journal', () => {
    const e = new Evening();
    e.pass(4, () => 9);
    e.runtime.acknowledge(e.board.alarms[0]!.id, '');
    e.change((s) => ({ ...s, places: [aPlace({ sensorIds: [] })] }));
    e.runtime.tick();
    expect(e.board.alarms).toEqual([]);
    expect(e.journal.at(-1)?.alarm.state).toBe('normal');
  });

  it('is raised and told although it cannot be written down, and is written down later', () => {
    const e = new Evening();
    e.isJournalBroken = true;
    e.pass(4, () => 9);
    expect(e.board.alarms.map((a) => a.kind)).toEqual(expect.arrayContaining(['cold-over', 'system']));
    expect(e.row('place-bag').state).toBe('unsafe');
    e.isJournalBroken = false;
    e.pass(1, () => 9);
    expect(e.journal.map((m) => m.alarm.kind)).toEqual(expect.arrayContaining(['cold-over', 'system']));
    expect(e.board.alarms.find((a) => a.kind === 'system')?.state).toBe('returned');
  });
});

describe('readings without a time of their own', () => {
  it('that arrive in the same millisecond are both kept, the newest last', () => {
    const e = new Evening();
    for (const tempC of [3, 4, 5]) e.hear('bag-probe', tempC, { timeSource: 'arrival' });
    e.nowMs += MIN / 60;
    e.runtime.tick();
    expect(e.row('place-bag').tempC).toBe(5);
  });
});
