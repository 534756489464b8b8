import { describe, expect, it } from 'vitest';
import { aBatch, aDish, aPlace, MIN } from '../support/cookouts.ts';
import { Evening } from '../support/evening.ts';
import { aCheck, aCorrection } from '../support/memory-probes.ts';

const DAY = 86_400_000;

function check(e: Evening, sensorId: string, outcome: 'passed' | 'failed', atMs = e.nowMs): void {
  e.probes.addCheck(aCheck({ sensorId, outcome, atMs, rawC: outcome === 'passed' ? 0.2 : 2.4 }));
}
const alarmsOf = (e: Evening, rowId: string): string[] =>
  e.board.alarms.filter((a) => a.rowId === rowId && a.state !== 'normal').map((a) => `${a.kind} ${a.state}`);

describe('the row of a probe', () => {
  it('says how far the probe may be believed, in a batch and in a place', () => {
    const e = new Evening();
    e.step('on');
    e.pass(
      1,
      () => 4,
      () => 5,
    );
    const standings = () => [e.row('batch-chicken-1').probe, e.row('place-bag').probe];
    expect(standings()).toEqual(['never', 'never']);
    check(e, 'core-probe', 'passed', e.nowMs - 8 * DAY);
    check(e, 'bag-probe', 'passed');
    e.pass(
      1,
      () => 4,
      () => 5,
    );
    expect(standings()).toEqual(['old', 'passed']);
    check(e, 'bag-probe', 'failed');
    e.pass(
      1,
      () => 4,
      () => 5,
    );
    expect(standings()).toEqual(['old', 'failed']);
  });

  it('says nothing of a batch without a probe', () => {
    const e = new Evening();
    e.change((s) => ({ ...s, batches: [aBatch({ sensorId: null })], seats: [] }));
    e.runtime.tick();
    expect(e.row('batch-chicken-1').probe).toBeNull();
  });
});

/** Up to 80 degC within twenty minutes: enough for 70 degC held for two minutes. */
const cooking = (min: number): number => Math.min(80, 5 + 4 * min);

describe('a core probe that failed its check', () => {
  it('never makes its batch ready, and a check by hand is asked for once it is off', () => {
    const e = new Evening();
    check(e, 'core-probe', 'failed');
    e.step('on');
    e.pass(30, null, cooking);
    expect(['ready', 'overdue']).not.toContain(e.row('batch-chicken-1').state);
    e.step('off');
    e.pass(1, null, cooking);
    expect(e.board.next[0]).toMatchObject({ verb: 'check', step: null, batchId: 'chicken-1' });
  });

  it('is the difference: the same cook with a probe that passed is ready and asks for nothing', () => {
    const e = new Evening();
    check(e, 'core-probe', 'passed');
    e.step('on');
    e.pass(30, null, cooking);
    expect(['ready', 'overdue']).toContain(e.row('batch-chicken-1').state);
    e.step('off');
    e.pass(1, null, cooking);
    expect(alarmsOf(e, 'batch-chicken-1')).toEqual([]);
    expect(e.board.next.filter((a) => a.verb === 'check')).toEqual([]);
  });

  it('asks for a check by hand also when it failed half-way', () => {
    const e = new Evening();
    e.step('on');
    e.pass(10, null, cooking);
    check(e, 'core-probe', 'failed');
    e.pass(15, null, cooking);
    e.step('off');
    e.pass(3, null, cooking);
    expect(e.board.next[0]).toMatchObject({ verb: 'check', batchId: 'chicken-1' });
  });

  it('keeps what was met before the check failed', () => {
    const e = new Evening();
    e.step('on');
    e.pass(30, null, cooking);
    check(e, 'core-probe', 'failed');
    e.pass(2, null, cooking);
    e.step('off');
    e.pass(1, null, cooking);
    expect(alarmsOf(e, 'batch-chicken-1')).toEqual([]);
  });

  it('gives way to a check by hand', () => {
    const e = new Evening();
    check(e, 'core-probe', 'failed');
    e.step('on');
    e.pass(25, null, cooking);
    for (const tempC of [78, 78]) {
      const id = `c${e.nowMs}`;
      const atMs = e.nowMs;
      e.change((s) => ({
        ...s,
        spotChecks: [...s.spotChecks, { id, batchId: 'chicken-1', tempC, atMs, where: 'middle' }],
      }));
      e.pass(2.5, null, cooking);
    }
    expect(['ready', 'overdue']).toContain(e.row('batch-chicken-1').state);
    e.step('off');
    e.pass(1, null, cooking);
    expect(alarmsOf(e, 'batch-chicken-1')).toEqual([]);
  });

  it('counts again from the check that it passes', () => {
    const e = new Evening();
    check(e, 'core-probe', 'failed');
    e.step('on');
    e.pass(25, null, cooking);
    check(e, 'core-probe', 'passed');
    e.pass(10, null, cooking);
    expect(['ready', 'overdue']).toContain(e.row('batch-chicken-1').state);
  });

  it('counts again only when a check was passed after its correction began', () => {
    const e = new Evening();
    check(e, 'core-probe', 'failed');
    e.probes.addCorrection(aCorrection({ fromMs: Math.ceil(e.nowMs / MIN) * MIN + MIN, offsetC: -2.4 }));
    e.step('on');
    e.pass(30, null, cooking);
    expect(e.row('batch-chicken-1')).toMatchObject({ probe: 'failed' });
    expect(['ready', 'overdue']).not.toContain(e.row('batch-chicken-1').state);
  });
});

describe('a probe in a cooler that failed its check', () => {
  it('raises the alarm, and never clears it', () => {
    const e = new Evening();
    check(e, 'bag-probe', 'failed');
    e.pass(40, () => 12);
    expect(alarmsOf(e, 'place-bag')).toContain('cold-over unacknowledged');
    e.pass(40, () => 3);
    expect(alarmsOf(e, 'place-bag')).toContain('cold-over unacknowledged');
    expect(e.row('place-bag').state).toBe('unsafe');
  });

  it('is never a cooler that holds: nobody knows', () => {
    const e = new Evening();
    check(e, 'bag-probe', 'failed');
    e.pass(40, () => 3);
    expect(e.row('place-bag').state).toBe('silent');
    expect(alarmsOf(e, 'place-bag')).toContain('probe-silent unacknowledged');
    expect(e.board.alarms[0]).toMatchObject({ title: 'Trout bag: in doubt' });
  });

  it('holds as before once it has passed again', () => {
    const e = new Evening();
    check(e, 'bag-probe', 'failed');
    e.pass(10, () => 3);
    check(e, 'bag-probe', 'passed');
    e.pass(40, () => 3);
    expect(e.row('place-bag').state).toBe('holding');
    expect(alarmsOf(e, 'place-bag').filter((a) => a.endsWith(' unacknowledged'))).toEqual([]);
  });
});

describe('a probe in a pot that failed its check', () => {
  function pot(): Evening {
    const e = new Evening();
    e.change((s) => ({
      ...s,
      places: [aPlace({ id: 'pot', kind: 'pot', name: 'Stew pot', short: 'Stew pot' })],
      dishes: [aDish({ food: 'stew', targetC: null, clockMin: 10 })],
      batches: [aBatch({ placeId: 'pot', sensorId: null })],
      seats: [{ subjectKind: 'place', subjectId: 'pot', sensorId: 'bag-probe', fromMs: 0, toMs: null }],
    }));
    return e;
  }

  it('raises the alarm when the pot goes cold after it was hot', () => {
    const e = pot();
    e.pass(10, () => 80);
    check(e, 'bag-probe', 'failed');
    e.pass(60, () => 40);
    expect(alarmsOf(e, 'place-pot')).toContain('hot-under unacknowledged');
  });

  it('raises it also when it had failed before the pot was hot', () => {
    const e = pot();
    check(e, 'bag-probe', 'failed');
    e.pass(10, () => 80);
    e.pass(60, () => 40);
    expect(alarmsOf(e, 'place-pot')).toContain('hot-under unacknowledged');
  });

  it('never shows it as holding', () => {
    const e = pot();
    check(e, 'bag-probe', 'failed');
    e.pass(60, () => 80);
    expect(e.row('place-pot').state).not.toBe('holding');
  });
});
