import { describe, expect, it } from 'vitest';
import { REASON } from '../../server/contract/reading.ts';
import { aCheck } from '../support/memory-probes.ts';
import { Evening } from '../support/evening.ts';

const CHICKEN = 'batch-chicken-1';

describe('the temperature of a row', () => {
  it('is marked while the newest reading is suspect, on the fire and in a cooler', () => {
    const e = new Evening();
    e.step('on');
    e.pass(
      1,
      () => 4,
      () => 30,
    );
    const marks = () => [e.row(CHICKEN).suspect, e.row('place-bag').suspect];
    expect(marks()).toEqual([false, false]);
    e.nowMs += 10_000;
    const suspect = { quality: 3, reasons: REASON.retained } as const;
    e.hear('core-probe', 34, suspect);
    e.hear('bag-probe', 5, suspect);
    e.runtime.tick();
    expect(e.row(CHICKEN)).toMatchObject({ tempC: 34, suspect: true });
    expect(e.row('place-bag')).toMatchObject({ tempC: 5, suspect: true });
    e.pass(
      1,
      () => 4,
      () => 34,
    );
    expect(marks()).toEqual([false, false]);
  });

  it('is marked while its probe stands as failed', () => {
    const e = new Evening();
    e.probes.addCheck(aCheck({ sensorId: 'core-probe', outcome: 'failed', atMs: e.nowMs, rawC: 2.4 }));
    e.step('on');
    e.pass(1, null, () => 30);
    expect(e.row(CHICKEN)).toMatchObject({ tempC: 30, suspect: true, probe: 'failed' });
  });

  it('has no mark where no number is shown', () => {
    const e = new Evening();
    e.step('on');
    e.hear('core-probe', 30, { quality: 3, reasons: REASON.retained });
    e.step('off');
    e.pass(5, null);
    expect(e.row(CHICKEN)).toMatchObject({ tempC: null, suspect: false });
  });
});

describe('a batch that was just put on', () => {
  /** Every second, as the watch goes. */
  function second(e: Evening, coreC: number | null): string | null {
    e.nowMs += 1_000;
    if (coreC !== null) e.hear('core-probe', coreC);
    e.runtime.tick();
    return e.row(CHICKEN).why;
  }

  it('never says that there is no reading beside the one that it shows', () => {
    const e = new Evening();
    e.pass(5, null, () => 22);
    e.nowMs += 3_000;
    e.step('on');
    e.runtime.tick();
    const said = [e.row(CHICKEN).why, ...Array.from({ length: 20 }, (_, i) => second(e, 20 - i / 5))];
    expect(said.filter((why) => why?.startsWith('no reading'))).toEqual([]);
    expect(said[0]).toBe('learning from its first readings');
  });

  it('says it of a probe that was not heard', () => {
    const e = new Evening();
    e.step('on');
    e.runtime.tick();
    expect(e.row(CHICKEN)).toMatchObject({ tempC: null, why: 'no reading of the core since it went on' });
  });

  it('learns from the first reading on, not up to ten seconds later', () => {
    const e = new Evening();
    e.step('on');
    e.runtime.tick();
    second(e, 5);
    const early = e.runtime.forecast('chicken-1');
    expect(early).toMatchObject({ kind: 'none' });
    expect(early).not.toMatchObject({ why: 'no reading of the core since it went on' });
  });

  it('says that its readings are in doubt when they are', () => {
    const e = new Evening();
    e.probes.addCheck(aCheck({ sensorId: 'core-probe', outcome: 'failed', atMs: e.nowMs, rawC: 2.4 }));
    e.step('on');
    expect(second(e, 22)).not.toContain('no reading');
  });
});
