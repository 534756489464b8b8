import { describe, expect, it } from 'vitest';
import { aPlace, MIN } from '../support/cookouts.ts';
import { Evening } from '../support/evening.ts';

const rising = (min: number): number => 5 + 4 * min;

describe('a core probe that is pulled out', () => {
  it('makes its row say so, from when and by how much, and what it reads then makes nothing ready', () => {
    const e = new Evening();
    e.step('on');
    e.pass(12, null, rising);
    e.pass(2, null, () => 18);
    const row = e.row('batch-chicken-1');
    expect(row).toMatchObject({ state: 'probe-out', quantilesMs: null });
    expect(row.fell!.byC).toBeGreaterThan(30);
    expect(row.sinceMs).toBeLessThanOrEqual(e.nowMs - 2 * MIN);
  });

  it('towards the fire is as little ready: it rose', () => {
    const e = new Evening();
    e.step('on');
    e.pass(10, null, rising);
    e.pass(4, null, () => 95);
    const row = e.row('batch-chicken-1');
    expect(row.state).toBe('probe-out');
    expect(row.fell!.byC).toBeLessThan(-40);
    expect(e.board.next.filter((a) => a.verb === 'off')).toEqual([]);
  });

  it('still raises the alarm of food that was taken off short', () => {
    const e = new Evening();
    e.step('on');
    e.pass(10, null, rising);
    e.step('off');
    e.pass(3, null, () => 18);
    expect(e.board.alarms.map((a) => a.kind)).toContain('core-short');
  });
});

describe('a cooler probe', () => {
  it('that is lifted out says so at once and raises the alarm all the same', () => {
    const e = new Evening();
    e.pass(6, () => 4);
    e.pass(1, () => 22);
    expect(e.row('place-bag')).toMatchObject({ state: 'probe-out', fell: { byC: -18 } });
    e.pass(2, () => 24);
    expect(e.row('place-bag').state).toBe('unsafe');
    expect(e.board.alarms[0]).toMatchObject({ kind: 'cold-over', state: 'unacknowledged' });
  });

  it('that is put on ice does not clear the alarm of a warm bag until it has stayed there', () => {
    const e = new Evening();
    e.pass(6, () => 14);
    expect(e.board.alarms.map((a) => a.kind)).toEqual(['cold-over']);
    e.pass(2.5, () => 1);
    expect(e.board.alarms.find((a) => a.kind === 'cold-over')?.state).toBe('unacknowledged');
    e.pass(8, () => 4);
    expect(e.board.alarms.find((a) => a.kind === 'cold-over')?.state).toBe('returned');
  });
});

describe('a pot probe', () => {
  it('that is taken out of the pot says so', () => {
    const e = new Evening();
    e.change((s) => ({
      ...s,
      places: [
        aPlace({ id: 'pot', kind: 'pot', name: 'Stew pot', short: 'Stew pot', sensorIds: ['bag-probe'] }),
      ],
      seats: [{ subjectKind: 'place', subjectId: 'pot', sensorId: 'bag-probe', fromMs: 0, toMs: null }],
    }));
    e.pass(6, () => 80);
    e.pass(1, () => 25);
    expect(e.row('place-pot')).toMatchObject({ state: 'probe-out', fell: { byC: 55 } });
  });
});

describe('late readings', () => {
  it('go into history and change no alarm and no live number', () => {
    const e = new Evening();
    e.pass(6, () => 6);
    for (let i = 0; i < 30; i += 1) {
      e.hear('bag-probe', 30, { atMs: e.nowMs - 300_000 + i * 10_000 + 5_000 });
    }
    e.pass(0.2, () => 6);
    expect(e.board.alarms).toEqual([]);
    expect(e.row('place-bag')).toMatchObject({ tempC: 6, outsideMs: null });
    e.restart();
    e.pass(0.2, () => 6);
    expect(e.board.alarms).toEqual([]);
    expect(e.row('place-bag')).toMatchObject({ tempC: 6, outsideMs: null });
  });

  it('are not those that could not be stored at first', () => {
    const e = new Evening();
    e.pass(6, () => 6);
    e.isStoreBroken = true;
    const times = [10_000, 20_000, 30_000].map((ms) => e.nowMs + ms);
    for (const atMs of times) {
      e.nowMs = atMs;
      expect(() => e.hear('bag-probe', 9)).toThrow('disk full');
    }
    e.isStoreBroken = false;
    for (const atMs of times) e.hear('bag-probe', 9, { atMs });
    e.runtime.tick();
    expect(e.row('place-bag').outsideMs).toBe(20_000);
  });
});

describe('a spike', () => {
  it('is no number on the screen, and does not clear an alarm', () => {
    const e = new Evening();
    e.pass(6, () => 10);
    for (const tempC of [-25, 85]) {
      e.nowMs += 10_000;
      e.hear('bag-probe', tempC);
      e.runtime.tick();
      expect(e.row('place-bag')).toMatchObject({ state: 'unsafe', tempC: 10 });
      expect(e.row('place-bag').outsideMs).toBeGreaterThan(300_000);
    }
  });
});
