import { describe, expect, it } from 'vitest';
import { STEPS, statusOf } from '../../server/contract/steps.ts';
import { batchStory } from '../../server/plan/batch-story.ts';
import { atMin, step } from './builders.ts';

describe('the story of a batch', () => {
  it('of no steps is a plan', () => {
    expect(batchStory([])).toEqual({
      status: 'planned',
      firstOnMs: null,
      onMs: null,
      offMs: null,
      servedMs: null,
      heldMs: null,
      reheatingMs: null,
      lastTurnMs: null,
      turns: 0,
      zone: null,
      placeId: null,
      lidOpen: false,
    });
  });

  it('follows a cook from the cooler to the table', () => {
    const steps = [
      step(-120, 'packed', { placeId: 'raw-bag' }),
      step(0, 'on', { zone: 'hot', placeId: 'left' }),
      step(3, 'turned'),
      step(6, 'turned'),
      step(7, 'moved', { zone: 'gentle', placeId: 'right' }),
      step(8, 'lid-opened'),
    ];
    expect(batchStory(steps)).toMatchObject({
      status: 'on',
      onMs: atMin(0),
      lastTurnMs: atMin(6),
      turns: 2,
      zone: 'gentle',
      placeId: 'right',
      lidOpen: true,
    });
    const later = [
      ...steps,
      step(9, 'lid-closed'),
      step(12, 'off'),
      step(13, 'held', { placeId: 'box' }),
      step(20, 'served'),
    ];
    expect(batchStory(later.slice(0, 7)).lidOpen).toBe(false);
    expect(batchStory(later)).toMatchObject({
      status: 'served',
      onMs: atMin(0),
      offMs: atMin(12),
      heldMs: atMin(13),
      servedMs: atMin(20),
      zone: null,
      placeId: 'box',
      lidOpen: false,
    });
  });

  it('put back on, it is on again and its turns start afresh, but it first went on when it first did', () => {
    const steps = [
      step(0, 'on', { zone: 'hot' }),
      step(3, 'turned'),
      step(10, 'off'),
      step(11, 'on', { zone: 'gentle' }),
    ];
    expect(batchStory(steps)).toMatchObject({
      status: 'on',
      firstOnMs: atMin(0),
      onMs: atMin(11),
      offMs: null,
      turns: 0,
      lastTurnMs: null,
      zone: 'gentle',
    });
  });

  it('put back on without a place, it does not say that it is where it was', () => {
    expect(batchStory([step(0, 'on', { zone: 'hot' }), step(10, 'off'), step(11, 'on')]).zone).toBeNull();
  });

  it('moved without a zone, it stays in the zone that was last said', () => {
    expect(batchStory([step(0, 'on', { zone: 'hot' }), step(5, 'moved')]).zone).toBe('hot');
  });

  it('follows a reserve dish through cooling and heating', () => {
    const steps = [step(-900, 'cooling'), step(-600, 'chilled'), step(0, 'reheating', { zone: 'medium' })];
    expect(batchStory(steps.slice(0, 2))).toMatchObject({ status: 'chilled', reheatingMs: null });
    expect(batchStory(steps)).toMatchObject({
      status: 'reheating',
      reheatingMs: atMin(0),
      onMs: null,
      zone: 'medium',
    });
  });

  it('an open lid is closed by taking it off', () => {
    expect(batchStory([step(0, 'on'), step(5, 'lid-opened'), step(6, 'off')]).lidOpen).toBe(false);
  });

  it('thrown away, it is nowhere on the fire', () => {
    expect(batchStory([step(0, 'on', { zone: 'hot' }), step(5, 'discarded')])).toMatchObject({
      status: 'discarded',
      zone: null,
    });
  });

  it('passes over a step that cannot follow, and comes to the same status as the contract', () => {
    const steps = [
      step(0, 'turned'),
      step(1, 'off'),
      step(2, 'on', { zone: 'hot' }),
      step(3, 'packed', { placeId: 'bag' }),
    ];
    expect(batchStory(steps)).toMatchObject({
      status: 'on',
      turns: 0,
      offMs: null,
      onMs: atMin(2),
      placeId: null,
    });
    for (const first of STEPS) {
      for (const second of STEPS) {
        for (const third of STEPS) {
          const run = [step(0, first), step(1, second), step(2, third)];
          expect(batchStory(run).status).toBe(statusOf(run));
        }
      }
    }
  });
});
