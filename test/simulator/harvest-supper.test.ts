import { beforeAll, describe, expect, it } from 'vitest';
import { DishInputSchema } from '../../server/contract/cookout.ts';
import { SENSOR_ID_PATTERN } from '../../server/contract/reading.ts';
import type { Act } from '../../simulator/act.ts';
import { HARVEST_SUPPER } from '../../simulator/scenarios/harvest-supper.ts';
import type { Sample } from '../../simulator/sensors.ts';
import { Timeline } from '../../simulator/timeline.ts';
import { createSetting } from '../../simulator/world.ts';

const ZERO_MS = 1_764_000_000_000;

function minuteOf(atMs: number): number {
  return (atMs - ZERO_MS) / 60_000;
}

describe('the plan of the harvest supper', () => {
  it('fits the forms: dishes as the contract wants them, sensors that can be topics', () => {
    for (const { input } of HARVEST_SUPPER.dishes)
      expect(DishInputSchema.safeParse(input).success).toBe(true);
    const sensors = [
      ...HARVEST_SUPPER.places.map(({ sensor }) => sensor),
      ...HARVEST_SUPPER.batches.flatMap(({ sensor }) => sensor ?? []),
    ];
    for (const sensor of sensors) expect(sensor).toMatch(SENSOR_ID_PATTERN);
    expect(new Set(sensors).size).toBe(sensors.length);
  });

  it('names only dishes and places that there are, and enough food for the coolers', () => {
    const { batches, dishes, places } = HARVEST_SUPPER;
    const keys = new Set(places.map(({ key }) => key));
    for (const batch of batches) {
      expect(dishes.some(({ key }) => key === batch.dish)).toBe(true);
      expect(keys.has(batch.waitsIn)).toBe(true);
      if (batch.cooksOn !== null) expect(keys.has(batch.cooksOn)).toBe(true);
    }
    for (const place of places) {
      if (place.kind !== 'cooler') continue;
      const packedKg = batches
        .filter(({ waitsIn }) => waitsIn === place.key)
        .reduce((sum, { dish, pieces }) => sum + pieces * dishes.find(({ key }) => key === dish)!.pieceKg, 0);
      expect(packedKg).toBeLessThanOrEqual(place.start.foodKg);
    }
  });
});

describe.each([1, 4, 7])('the harvest supper with seed %i', (seed) => {
  let samples: Sample[] = [];
  let acts: readonly Act[] = [];
  beforeAll(() => {
    const timeline = new Timeline(createSetting(HARVEST_SUPPER, seed, ZERO_MS));
    samples = timeline.advance(ZERO_MS + HARVEST_SUPPER.endMin * 60_000, 'nominal');
    acts = timeline.acts;
  });

  const trace = (sensor: string, fromMin = -Infinity, toMin = Infinity): Sample[] =>
    samples.filter(
      (sample) =>
        sample.sensor === sensor && minuteOf(sample.atMs) >= fromMin && minuteOf(sample.atMs) <= toMin,
    );
  const lastC = (sensor: string, minute: number): number => trace(sensor, -Infinity, minute).at(-1)!.tempC;
  const minuteOfStep = (batch: string, kind: string): number =>
    minuteOf(acts.find((act) => act.kind === 'step' && act.batch === batch && act.step === kind)!.atMs);

  it('has five dishes on the fire at the busy moment, each on its way', () => {
    const on = HARVEST_SUPPER.batches.filter(
      ({ key }) =>
        acts.some(
          (act) => act.kind === 'step' && act.batch === key && act.step === 'on' && act.atMs <= ZERO_MS,
        ) && minuteOfStep(key, 'off') > 0,
    );
    expect(on.map(({ dish }) => dish).toSorted()).toEqual(['chicken', 'halloumi', 'kofta', 'pork', 'trout']);
    expect(lastC('core-pork', 0)).toBeGreaterThan(75);
    expect(lastC('core-pork', 0)).toBeLessThan(93);
    for (const sensor of ['core-chicken', 'core-kofta', 'core-trout']) {
      expect(lastC(sensor, 0)).toBeGreaterThan(10);
      expect(lastC(sensor, 0)).toBeLessThan(70);
    }
  });

  it('reaches its targets by physics, in time for both servings', () => {
    for (const batch of ['chicken-1', 'kofta-1', 'trout']) {
      expect(minuteOfStep(batch, 'off')).toBeGreaterThan(3);
      expect(minuteOfStep(batch, 'served')).toBeLessThan(30);
    }
    for (const batch of ['chicken-2', 'kofta-2', 'pork'])
      expect(minuteOfStep(batch, 'served')).toBeLessThan(80);
  });

  it('stalls the joint: slower between 70 and 85 than between 30 and 45', () => {
    const firstAt = (tempC: number): number =>
      trace('core-pork').find((sample) => sample.tempC >= tempC)!.atMs;
    expect(firstAt(85) - firstAt(70)).toBeGreaterThan(1.4 * (firstAt(45) - firstAt(30)));
  });

  it('carries over by a few degrees and never above boiling', () => {
    for (const [sensor, batch] of [
      ['core-chicken', 'chicken-1'],
      ['core-kofta', 'kofta-1'],
      ['core-trout', 'trout'],
      ['core-pork', 'pork'],
    ] as const) {
      const off = minuteOfStep(batch, 'off');
      const peakC = Math.max(...trace(sensor, off).map(({ tempC }) => tempC));
      expect(peakC - lastC(sensor, off)).toBeGreaterThan(0);
      expect(peakC - lastC(sensor, off)).toBeLessThan(10);
      expect(peakC).toBeLessThan(100.5);
    }
  });

  it('lets the trout bag pass 8 degC about four minutes in, for good until ice comes, and brings it back', () => {
    expect(Math.max(...trace('bag-trout', -250, 1.5).map(({ tempC }) => tempC))).toBeLessThanOrEqual(8);
    const over = minuteOf(trace('bag-trout').find(({ tempC }) => tempC > 8)!.atMs);
    expect(over).toBeGreaterThan(2);
    expect(over).toBeLessThan(6.5);
    const ice = minuteOf(acts.find(({ kind }) => kind === 'ice')!.atMs);
    expect(ice).toBeGreaterThan(over + 4);
    const steady = trace('bag-trout', over + 1.2, ice);
    expect(Math.min(...steady.map(({ tempC }) => tempC))).toBeGreaterThan(8);
    expect(Math.max(...trace('bag-trout', ice + 8).map(({ tempC }) => tempC))).toBeLessThan(7.5);
    expect(acts.filter(({ kind }) => kind === 'ice')).toHaveLength(1);
  });

  it('keeps everything else within its limits', () => {
    for (const sensor of ['bag-raw', 'bag-stew']) {
      expect(Math.max(...trace(sensor).map(({ tempC }) => tempC))).toBeLessThan(8);
    }
    expect(Math.min(...trace('pot-barley').map(({ tempC }) => tempC))).toBeGreaterThan(63);
  });

  it('silences the stew probe once for about three minutes, and no other', () => {
    for (const { sensor } of HARVEST_SUPPER.places) {
      const times = trace(sensor).map(({ atMs }) => atMs);
      const gapsS = times.slice(1).map((atMs, index) => (atMs - times[index]!) / 1000);
      const long = gapsS.filter((gap) => gap > 10);
      if (sensor !== 'bag-stew') expect(long).toEqual([]);
      else {
        expect(long).toHaveLength(1);
        expect(long[0]).toBeGreaterThanOrEqual(180);
        expect(long[0]).toBeLessThan(220);
      }
    }
  });

  it('has turns, a take-off, a serving and the silence within forty minutes of the busy moment', () => {
    const soon = acts.filter(({ atMs }) => minuteOf(atMs) > 0 && minuteOf(atMs) < 40);
    const kinds = new Set(soon.map((act) => (act.kind === 'step' ? act.step : act.kind)));
    expect([...kinds].toSorted()).toEqual(['ice', 'off', 'served', 'turned']);
  });
});
