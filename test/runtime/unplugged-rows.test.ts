import { describe, expect, it } from 'vitest';
import { aBatch, aDish, aPlace, MIN } from '../support/cookouts.ts';
import { Evening } from '../support/evening.ts';

const alarmsOf = (e: Evening, rowId: string): string[] =>
  e.board.alarms.filter((a) => a.rowId === rowId && a.state !== 'normal').map((a) => `${a.kind} ${a.state}`);
const cooking = (min: number): number => Math.min(80, 5 + 4 * min);
const CHICKEN = 'batch-chicken-1';

/** Time goes on while a channel keeps saying that nothing is plugged in. */
function passUnplugged(e: Evening, minutes: number, sensorId: string): void {
  for (let i = 0; i < minutes * 6; i += 1) {
    e.unplug(sensorId);
    e.pass(1 / 6, null);
  }
}

describe('a core probe whose channel says that nothing is plugged in', () => {
  it('makes its row silent at once, since the moment it said so, and says why', () => {
    const e = new Evening();
    e.step('on');
    e.pass(10, null, cooking);
    expect(e.row(CHICKEN).state).not.toBe('silent');
    e.nowMs += 1_000;
    e.unplug('core-probe');
    const saidMs = e.nowMs;
    e.runtime.tick();
    const said = { state: 'silent', sinceMs: saidMs, why: 'nothing plugged in' };
    expect(e.row(CHICKEN)).toMatchObject(said);
    passUnplugged(e, 5, 'core-probe');
    expect(e.row(CHICKEN)).toMatchObject(said);
  });

  it('raises the alarm of a silent probe two minutes after, and ends it once it reads again', () => {
    const e = new Evening();
    e.step('on');
    e.pass(10, null, cooking);
    passUnplugged(e, 1.5, 'core-probe');
    expect(alarmsOf(e, CHICKEN)).toEqual([]);
    passUnplugged(e, 1, 'core-probe');
    expect(alarmsOf(e, CHICKEN)).toEqual(['probe-silent unacknowledged']);
    e.pass(2, null, cooking);
    expect(e.row(CHICKEN).state).not.toBe('silent');
    expect(alarmsOf(e, CHICKEN)).toEqual(['probe-silent returned']);
    passUnplugged(e, 3, 'core-probe');
    expect(alarmsOf(e, CHICKEN)).toEqual(['probe-silent unacknowledged']);
  });

  it('never leaves a batch ready', () => {
    const e = new Evening();
    e.step('on');
    e.pass(25, null, cooking);
    expect(['ready', 'overdue']).toContain(e.row(CHICKEN).state);
    e.unplug('core-probe');
    e.runtime.tick();
    expect(e.row(CHICKEN)).toMatchObject({ state: 'silent' });
    expect(e.board.next.filter(({ verb }) => verb === 'off')).toEqual([]);
  });

  it('is silent also when it was never heard, and is given two minutes to be plugged in', () => {
    const e = new Evening();
    e.nowMs += 30 * MIN;
    e.unplug('core-probe');
    e.nowMs += 30 * MIN;
    e.step('on');
    e.pass(1.5, null);
    expect(e.row(CHICKEN)).toMatchObject({ state: 'silent', tempC: null, why: 'nothing plugged in' });
    expect(alarmsOf(e, CHICKEN)).toEqual([]);
    e.pass(1, null);
    expect(alarmsOf(e, CHICKEN)).toEqual(['probe-silent unacknowledged']);
  });

  it('shows no number of a batch that rests', () => {
    const e = new Evening();
    e.step('on');
    e.pass(25, null, cooking);
    e.step('off');
    e.runtime.tick();
    expect(e.row(CHICKEN).tempC).toBe(80);
    e.unplug('core-probe');
    e.runtime.tick();
    expect(e.row(CHICKEN).tempC).toBeNull();
  });

  it('is silent since its last reading when it had been silent before it said so', () => {
    const e = new Evening();
    e.step('on');
    e.pass(10, null, cooking);
    const lastMs = e.nowMs;
    e.pass(5, null);
    e.unplug('core-probe');
    e.runtime.tick();
    expect(e.row(CHICKEN)).toMatchObject({ state: 'silent', sinceMs: lastMs });
  });
});

describe('a cooler whose probe was unplugged', () => {
  it('is silent at once, and the alarm follows', () => {
    const e = new Evening();
    e.pass(40, () => 4);
    expect(e.row('place-bag').state).toBe('holding');
    e.unplug('bag-probe');
    const saidMs = e.nowMs;
    e.runtime.tick();
    const said = { state: 'silent', sinceMs: saidMs, why: 'nothing plugged in', quantilesMs: null };
    expect(e.row('place-bag')).toMatchObject(said);
    passUnplugged(e, 2.5, 'bag-probe');
    expect(alarmsOf(e, 'place-bag')).toEqual(['probe-silent unacknowledged']);
  });

  it('keeps the alarm of the limit that was broken', () => {
    const e = new Evening();
    e.pass(10, () => 12);
    passUnplugged(e, 40, 'bag-probe');
    expect(e.row('place-bag').state).toBe('unsafe');
    expect(alarmsOf(e, 'place-bag')).toContain('cold-over unacknowledged');
  });

  it('is no alarm before the evening has begun', () => {
    const e = new Evening();
    passUnplugged(e, 10, 'bag-probe');
    expect(e.row('place-bag').state).toBe('silent');
    expect(alarmsOf(e, 'place-bag')).toEqual([]);
    e.step('packed');
    passUnplugged(e, 3, 'bag-probe');
    expect(alarmsOf(e, 'place-bag')).toEqual(['probe-silent unacknowledged']);
  });

  it('is told although another probe in it reads', () => {
    const e = new Evening();
    const seat = { subjectKind: 'place', subjectId: 'bag', fromMs: 0, toMs: null } as const;
    e.change((s) => ({
      ...s,
      places: [aPlace({ sensorIds: ['bag-probe', 'core-probe'] })],
      batches: [],
      seats: ['bag-probe', 'core-probe'].map((sensorId) => ({ ...seat, sensorId })),
    }));
    e.pass(
      10,
      () => 4,
      () => 4,
    );
    e.unplug('bag-probe');
    e.runtime.tick();
    expect(e.row('place-bag')).toMatchObject({ state: 'silent', sensorId: 'bag-probe' });
  });

  it('has a forecast again with the readings that come, not up to ten seconds later', () => {
    const e = new Evening();
    e.pass(40, () => 4);
    passUnplugged(e, 20, 'bag-probe');
    e.nowMs += 1_000;
    e.hear('bag-probe', 4);
    e.runtime.tick();
    expect(e.row('place-bag')).toMatchObject({ state: 'holding' });
    expect(e.row('place-bag').why).not.toBe('nothing plugged in');
    expect(e.row('place-bag').why).not.toBe('the last reading is too old');
  });
});

describe('a zone whose probe was unplugged', () => {
  it('has no temperature any more', () => {
    const e = new Evening();
    e.change((s) => ({
      ...s,
      places: [aPlace({ id: 'left', kind: 'zone', heat: 'hot' })],
      dishes: [aDish()],
      batches: [aBatch({ sensorId: null })],
      seats: [{ subjectKind: 'place', subjectId: 'left', sensorId: 'bag-probe', fromMs: 0, toMs: null }],
    }));
    e.pass(1, () => 210);
    expect(e.board.zones[0]?.tempC).toBe(210);
    e.unplug('bag-probe');
    e.runtime.tick();
    expect(e.board.zones[0]?.tempC).toBeNull();
  });
});
