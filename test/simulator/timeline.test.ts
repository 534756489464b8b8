import { describe, expect, it } from 'vitest';
import type { Act } from '../../simulator/act.ts';
import { HARVEST_SUPPER } from '../../simulator/scenarios/harvest-supper.ts';
import type { Sample } from '../../simulator/sensors.ts';
import { Timeline } from '../../simulator/timeline.ts';
import { createSetting } from '../../simulator/world.ts';

const ZERO_MS = 1_764_000_000_000;
/** The same supper from shortly before the busy moment, so that a test need not wait for the pork. */
const LATE = { ...HARVEST_SUPPER, startMin: -30 };

function at(minute: number): number {
  return ZERO_MS + Math.round(minute * 60_000);
}
function begin(seed = 7): Timeline {
  return new Timeline(createSetting(LATE, seed, ZERO_MS));
}
function step(batch: string, kind: 'packed' | 'on' | 'turned' | 'off', minute: number): Act {
  return {
    kind: 'step',
    atMs: at(minute),
    batch,
    step: kind,
    heat: kind === 'on' ? 'hot' : null,
    place: null,
  };
}
function of(samples: readonly Sample[], sensor: string): Sample[] {
  return samples.filter((sample) => sample.sensor === sensor);
}

describe('an evening', () => {
  it('is the same for the same seed, reading by reading, and another for another seed', () => {
    const first = begin(7).advance(at(5), 'nominal');
    expect(begin(7).advance(at(5), 'nominal')).toEqual(first);
    expect(begin(8).advance(at(5), 'nominal')).not.toEqual(first);
  });

  it('does not depend on how often one looks', () => {
    const whole = begin().advance(at(0), 'nominal');
    const timeline = begin();
    const pieces: Sample[] = [];
    for (let minute = -30; minute <= 0; minute += 0.3)
      pieces.push(...timeline.advance(at(minute), 'nominal'));
    expect(pieces.concat(timeline.advance(at(0), 'nominal'))).toEqual(whole);
  });

  it('takes in an act that becomes known late as if it had been known at once', () => {
    const acts = [step('kofta-1', 'packed', -29), step('kofta-1', 'on', -20), step('kofta-1', 'off', -8)];
    const prompt = begin();
    prompt.follow(acts);
    const known = of(prompt.advance(at(0), 'none'), 'core-kofta');

    const late = begin();
    late.follow(acts.slice(0, 2));
    const before = of(late.advance(at(-7), 'none'), 'core-kofta');
    late.follow(acts);
    const after = of(late.advance(at(0), 'none'), 'core-kofta');

    expect(late.world.batches).toEqual(prompt.world.batches);
    const times = [...before, ...after].map(({ atMs }) => atMs);
    expect(times).toEqual(known.map(({ atMs }) => atMs));
    expect(after).toEqual(known.slice(-after.length));
  });

  it('forgets an act that was withdrawn', () => {
    const acts = [step('kofta-1', 'packed', -29), step('kofta-1', 'on', -20)];
    const timeline = begin();
    timeline.follow([...acts, step('kofta-1', 'off', -10)]);
    timeline.advance(at(-9), 'none');
    timeline.follow(acts);
    timeline.advance(at(-5), 'none');
    const never = begin();
    never.follow(acts);
    never.advance(at(-5), 'none');
    expect(timeline.world.batches).toEqual(never.world.batches);
    expect(timeline.world.batches['kofta-1']?.status).toBe('on');
  });

  it('sends nothing that is stored already when it is taken up again', () => {
    const timeline = begin();
    timeline.skipUntil('bag-raw', at(-10));
    const samples = timeline.advance(at(-5), 'none');
    expect(Math.min(...of(samples, 'bag-raw').map(({ atMs }) => atMs))).toBe(at(-10) + 10_000);
    expect(of(samples, 'bag-trout')[0]!.atMs).toBeLessThan(at(-29));
  });

  it('does not mind a step in the wrong order or of a batch it does not know', () => {
    const timeline = begin();
    timeline.follow([step('kofta-1', 'turned', -20), step('nobody', 'on', -19)]);
    timeline.advance(at(-10), 'none');
    expect(timeline.world.batches['kofta-1']?.status).toBe('planned');
  });

  it('puts food where the step says, by place or by heat', () => {
    const timeline = begin();
    timeline.follow([
      { kind: 'step', atMs: at(-20), batch: 'kofta-1', step: 'on', heat: 'medium', place: null },
      { kind: 'step', atMs: at(-15), batch: 'kofta-1', step: 'moved', heat: 'gentle', place: 'right' },
      { kind: 'step', atMs: at(-20), batch: 'chicken-1', step: 'on', heat: null, place: null },
    ]);
    timeline.advance(at(-18), 'none');
    expect(timeline.world.batches['kofta-1']?.zone).toBe('middle');
    expect(timeline.world.batches['chicken-1']?.zone).toBe('middle');
    timeline.advance(at(-14), 'none');
    expect(timeline.world.batches['kofta-1']?.zone).toBe('right');
  });
});
