import { describe, expect, it } from 'vitest';
import { aDish } from '../support/cookouts.ts';
import { Evening } from '../support/evening.ts';

describe('a cooler on the live screen', () => {
  it('raises its alarm after two minutes over the limit, keeps the frame once seen, and is calm when it is back', () => {
    const e = new Evening();
    e.pass(5, () => 6);
    expect(e.board.alarms).toEqual([]);
    e.pass(1, () => 8.5);
    expect(e.row('place-bag').state).toBe('watch');
    e.pass(2, () => 8.5);
    expect(e.row('place-bag').state).toBe('unsafe');
    const alarm = e.board.alarms[0];
    expect(alarm).toMatchObject({ kind: 'cold-over', state: 'unacknowledged', valueC: 8.5, limitC: 8 });
    e.runtime.acknowledge(alarm!.id, 'seen at the grill');
    expect(e.row('place-bag')).toMatchObject({ state: 'acknowledged', seenMs: e.nowMs });
    e.pass(3, () => 6);
    expect(e.board.alarms).toEqual([]);
    expect(['holding', 'watch']).toContain(e.row('place-bag').state);
  });

  it('keeps the alarm after its probe falls silent and after a restart', () => {
    const e = new Evening();
    e.pass(4, () => 9);
    const before = e.board.alarms.map((a) => a.id);
    expect(before).toHaveLength(1);
    e.pass(6, null);
    expect(e.row('place-bag').state).toBe('unsafe');
    e.restart();
    e.runtime.tick();
    expect(e.board.alarms.map((a) => a.id)).toEqual(expect.arrayContaining(before));
    expect(e.row('place-bag').state).toBe('unsafe');
  });

  it('does not ring for a probe that was never heard before the evening has begun, and does from then on', () => {
    const e = new Evening();
    e.pass(5, null);
    expect(e.board.alarms).toEqual([]);
    expect(e.row('place-bag').state).toBe('silent');
    e.step('on');
    e.pass(3, null, () => 5);
    expect(e.board.alarms.map((a) => a.rowId)).toEqual(['place-bag']);
  });

  it('becomes silent after a minute without a reading and an alarm after two, never a believable number', () => {
    const e = new Evening();
    e.pass(5, () => 4);
    e.pass(1.5, null);
    expect(e.row('place-bag')).toMatchObject({ state: 'silent', quantilesMs: null });
    e.pass(1, null);
    expect(e.board.alarms[0]).toMatchObject({ kind: 'probe-silent', class: 'cannot-tell' });
  });
});

describe('a batch on the live screen', () => {
  const rising = (min: number): number => 5 + 4 * Math.max(0, min - 2);

  it('goes from waiting to learning to a forecast to ready, and off', () => {
    const e = new Evening();
    e.runtime.tick();
    expect(e.row('batch-chicken-1').state).toBe('waiting');
    e.step('on');
    e.pass(1, null, rising);
    expect(e.row('batch-chicken-1')).toMatchObject({ state: 'learning', quantilesMs: null });
    e.pass(9, null, rising);
    const row = e.row('batch-chicken-1');
    expect(['forecast', 'unsure']).toContain(row.state);
    expect(row.quantilesMs).toHaveLength(10);
    e.pass(12, null, (min) => Math.min(78, rising(min)));
    expect(['ready', 'overdue']).toContain(e.row('batch-chicken-1').state);
    expect(e.board.next[0]).toMatchObject({ verb: 'off', known: true, step: 'off' });
    e.step('off');
    e.runtime.tick();
    expect(e.row('batch-chicken-1').state).toBe('resting');
  });

  it('is not called ready at its target before the limit has been held', () => {
    const e = new Evening();
    e.change((s) => ({ ...s, dishes: [aDish({ targetC: 50 })] }));
    e.step('on');
    e.pass(18.2, null, (min) => Math.min(70, rising(min)));
    // the limit is 70 degC for 2 min: FSA, as the rule set cites it; a target of 50 degC does not lower it
    e.pass(0.8, null, () => 70);
    expect(e.row('batch-chicken-1').targetC).toBe(70);
    expect(['ready', 'overdue']).not.toContain(e.row('batch-chicken-1').state);
    e.pass(2, null, () => 70);
    expect(['ready', 'overdue']).toContain(e.row('batch-chicken-1').state);
  });

  it('raises an alarm when it is taken off short of its limit, and withdraws it when it is thrown away', () => {
    const e = new Evening();
    e.step('on');
    e.pass(10, null, rising);
    e.step('off');
    e.pass(0.5, null, () => 37);
    expect(e.board.alarms[0]).toMatchObject({ kind: 'core-short', state: 'unacknowledged' });
    expect(e.row('batch-chicken-1').state).toBe('unsafe');
    e.runtime.acknowledge(e.board.alarms[0]!.id, '');
    e.step('discarded');
    e.runtime.tick();
    expect(e.board.alarms.filter((a) => a.kind === 'core-short')).toEqual([]);
  });

  it('shows a silent core probe as silent with its last forecast as a ghost, and asks for a check by hand', () => {
    const e = new Evening();
    e.step('on');
    e.pass(10, null, rising);
    e.pass(3, null, null);
    expect(e.row('batch-chicken-1').state).toBe('silent');
    expect(e.row('batch-chicken-1').quantilesMs).not.toBeNull();
    expect(e.board.alarms[0]).toMatchObject({ kind: 'probe-silent' });
    expect(e.board.next.filter((a) => a.verb === 'off')).toEqual([]);
  });
});

describe('the watch itself', () => {
  it('is the loudest alarm when it fails, and recovers by itself', () => {
    const e = new Evening();
    e.pass(1, () => 4);
    const { state } = e;
    e.change((s) => ({ ...s, cookout: { ...s.cookout, ruleSet: 'none' as 'uk' } }));
    e.runtime.tick();
    expect(e.board.watchOk).toBe(false);
    expect(e.board.alarms[0]).toMatchObject({ kind: 'system', state: 'unacknowledged' });
    e.change(() => state);
    e.runtime.tick();
    expect(e.board.watchOk).toBe(true);
  });

  it('raises an alarm while readings cannot be stored', () => {
    const e = new Evening();
    e.isStoring = false;
    e.runtime.tick();
    expect(e.board.alarms[0]).toMatchObject({ kind: 'system', class: 'unsafe' });
  });

  it('has nothing to show without a cookout, and ends the alarms of one that is over', () => {
    const e = new Evening();
    e.pass(4, () => 9);
    expect(e.board.alarms).toHaveLength(1);
    e.change(() => null);
    e.runtime.tick();
    expect(e.board).toMatchObject({ cookout: null, rows: [] });
    expect(e.board.alarms.every((a) => a.state === 'returned')).toBe(true);
  });
});
