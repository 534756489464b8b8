import { describe, expect, it } from 'vitest';
import { FOODS } from '../../server/contract/food.ts';
import { batchDraft, checkBatch, newBatch } from '../../web/views/plan/batch-draft.ts';
import { checkDish, dishDraft, newDish, withFood } from '../../web/views/plan/dish-draft.ts';
import { checkOccasion, newOccasion, occasionDraft, withServe } from '../../web/views/plan/occasion-draft.ts';
import { FIRST_PLACES, checkPlace, newPlace, placeDraft } from '../../web/views/plan/place-draft.ts';
import { shortName } from '../../web/views/plan/short-name.ts';
import { PlaceInputSchema } from '../../server/contract/cookout.ts';
import { FIVE_PM_MS, LONDON, MIN_MS, aBatch, aCookout, aDetail, aDish, aPlace } from '../support/plans.ts';

const SET_BY_SERVER = ['id', 'cookoutId', 'order'];

describe('the occasion', () => {
  it('starts with half past six today while that is at least an hour away', () => {
    expect(newOccasion(FIVE_PM_MS, LONDON).serves).toEqual([
      { id: null, date: '2026-09-19', clock: '18:30' },
    ]);
    expect(newOccasion(FIVE_PM_MS + 31 * MIN_MS, LONDON).serves).toEqual([
      { id: null, date: '2026-09-19', clock: '' },
    ]);
  });

  it('is ready to be sent with nothing but a name', () => {
    const checked = checkOccasion({ ...newOccasion(FIVE_PM_MS, LONDON), name: 'Harvest supper' });
    expect(checked).toEqual({
      ok: true,
      value: {
        name: 'Harvest supper',
        guests: 20,
        ruleSet: 'uk',
        timeZone: LONDON,
        altitudeM: 0,
        serves: [{ atMs: FIVE_PM_MS + 90 * MIN_MS }],
      },
    });
  });

  it('keeps the servings it had, by their ids, through an edit', () => {
    const checked = checkOccasion(occasionDraft(aCookout()));
    expect(checked.ok && checked.value.serves).toEqual(aCookout().serves);
  });

  it('does not send a serving whose time nobody has set', () => {
    const checked = checkOccasion(withServe(occasionDraft(aCookout()), FIVE_PM_MS));
    expect(checked.ok && checked.value.serves).toHaveLength(2);
  });

  it('names every field that is wrong at once', () => {
    const draft = { ...newOccasion(FIVE_PM_MS, LONDON), name: ' ', guests: '3.5', altitudeM: 'hill' };
    const checked = checkOccasion({ ...draft, serves: [{ id: null, date: '2026-02-30', clock: '18:30' }] });
    expect(checked.ok ? [] : Object.keys(checked.errors).sort()).toEqual([
      'altitudeM',
      'guests',
      'name',
      'serves.0',
    ]);
  });

  it('complains of the time zone once, not of every serving in it', () => {
    const checked = checkOccasion({ ...occasionDraft(aCookout()), timeZone: 'Nowhere' });
    expect(checked.ok ? [] : Object.keys(checked.errors)).toEqual(['timeZone']);
  });
});

describe('a dish', () => {
  it.each(FOODS)('is ready to be sent with a name and the suggestions for %s', (food) => {
    const checked = checkDish({ ...newDish(food), name: 'A dish' });
    expect(checked.ok && checked.value.food).toBe(food);
  });

  it('comes back unchanged from its form', () => {
    for (const dish of [
      aDish(),
      aDish({ targetC: null, clockMin: 8, turnPlan: { kind: 'every', seconds: 210 } }),
      aDish({ reserve: true, heatMin: 35, turnPlan: { kind: 'none' } }),
      aDish({ reserve: true, heatMin: 35, targetC: null, clockMin: null }),
    ]) {
      const checked = checkDish(dishDraft(dish));
      expect(checked.ok && { ...dish, ...checked.value }).toEqual(dish);
      expect(checked.ok && Object.keys(checked.value)).toHaveLength(
        Object.keys(dish).length - SET_BY_SERVER.length,
      );
    }
  });

  it('takes the suggestions of another food, but never over what the cook has typed', () => {
    const changed = withFood({ ...newDish('chicken'), thicknessMm: '31' }, 'cheese');
    expect(changed).toMatchObject({ thicknessMm: '31', cookBy: 'clock', clockMin: '8', restMin: '0' });
  });

  it('cooked by the clock has no target, whatever stands in the hidden field', () => {
    const checked = checkDish({ ...newDish('chicken'), name: 'Skewers', cookBy: 'clock', clockMin: '8' });
    expect(checked.ok && [checked.value.targetC, checked.value.clockMin]).toEqual([null, 8]);
  });

  it.each([
    ['thicknessMm', { thicknessMm: '2' }],
    ['thicknessMm', { thicknessMm: '401' }],
    ['targetC', { targetC: '131' }],
    ['targetC', { targetC: '' }],
    ['clockMin', { cookBy: 'clock' as const, clockMin: '' }],
    ['restMin', { restMin: '-1' }],
    ['turnMin', { turn: 'every' as const, turnMin: '0.1' }],
    ['short', { short: 'elevenchars' }],
    ['heatMin', { reserve: true, heatMin: 'soon' }],
  ])('shows what is wrong at %s', (field, patch) => {
    const checked = checkDish({ ...newDish('chicken'), name: 'Thighs', ...patch });
    expect(checked.ok ? [] : Object.keys(checked.errors)).toEqual([field]);
  });
});

describe('the short name', () => {
  it.each([
    ['Chicken thighs', 'Chicken'],
    ['Lamb kofta', 'Lamb kofta'],
    ['Pork', 'Pork'],
    ['Butterscotched parsnips', 'Butterscot'],
    ['  Bean   stew  ', 'Bean stew'],
    ['Trout, whole', 'Trout'],
    ['', ''],
  ])('of %j is %j, ten letters at most', (name, short) => {
    expect(shortName(name)).toBe(short);
  });

  it('never cuts a joined sign in two', () => {
    expect(shortName('Brotzeiten🧀🧀')).toBe('Brotzeiten');
    expect(shortName('Brotzeite🧀🧀')).toBe('Brotzeite');
  });
});

describe('a short name that is left empty', () => {
  it('is made from the name', () => {
    const checked = checkDish({ ...newDish('chicken'), name: 'Chicken thighs' });
    expect(checked.ok && checked.value.short).toBe('Chicken');
  });

  it('is not complained of while the name is missing too', () => {
    for (const checked of [checkDish(newDish('chicken')), checkPlace(newPlace('cooler'))])
      expect(checked.ok ? [] : Object.keys(checked.errors)).toEqual(['name']);
  });
});

describe('a batch', () => {
  it('starts for the first serving without this dish, on the hot part, with no probe chosen for the cook', () => {
    expect(newBatch(aDetail(), aDish())).toMatchObject({
      serveId: 'second',
      sensorId: '',
      placeId: 'hot',
      pieces: '20',
      when: 'worked-back',
    });
  });

  it('puts a reserve dish into a cooler', () => {
    const cooler = aPlace({ id: 'bag', kind: 'cooler', heat: null });
    const detail = aDetail({ places: [aPlace(), cooler], batches: [] });
    expect(newBatch(detail, aDish({ reserve: true })).placeId).toBe('bag');
  });

  it('comes back unchanged from its form, worked back or at a set time', () => {
    for (const batch of [
      aBatch(),
      aBatch({ plannedOnMs: FIVE_PM_MS, serveId: null, sensorId: null, placeId: null }),
    ]) {
      const { pieces, serveId, sensorId, placeId, plannedOnMs } = batch;
      const checked = checkBatch(batchDraft(batch, aDetail({ batches: [batch] })), LONDON);
      expect(checked).toEqual({ ok: true, value: { pieces, serveId, sensorId, placeId, plannedOnMs } });
    }
  });

  it('does not quietly fall back to "worked back" when the time it was given is wrong', () => {
    const draft = { ...batchDraft(aBatch(), aDetail()), when: 'at' as const, clock: '' };
    const checked = checkBatch(draft, LONDON);
    expect(checked.ok ? [] : Object.keys(checked.errors)).toEqual(['clock']);
  });
});

describe('a place', () => {
  it('comes back unchanged from its form', () => {
    for (const place of [
      aPlace(),
      aPlace({ kind: 'cooler', heat: null, litres: 30, sensorIds: ['bag-raw'] }),
    ]) {
      const checked = checkPlace(placeDraft(place));
      expect(checked.ok && { ...place, ...checked.value }).toEqual(place);
      expect(checked.ok && Object.keys(checked.value)).toHaveLength(
        Object.keys(place).length - SET_BY_SERVER.length,
      );
    }
  });

  it('has a heat only as a part of the grill, and room only when it is closed', () => {
    const checked = checkPlace({ ...newPlace('bench'), name: 'Carving table', litres: '12' });
    expect(checked.ok && [checked.value.heat, checked.value.litres]).toEqual([null, null]);
  });

  it('is refused with room that is no number', () => {
    const checked = checkPlace({ ...newPlace('cooler'), name: 'Bag', litres: 'big' });
    expect(checked.ok ? [] : Object.keys(checked.errors)).toEqual(['litres']);
  });

  it('the first places of a plan are ones that the server takes', () => {
    for (const place of FIRST_PLACES) expect(PlaceInputSchema.safeParse(place).success).toBe(true);
  });
});
