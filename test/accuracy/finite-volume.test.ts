import { describe, expect, it } from 'vitest';
import { CLOSED_FORMS, layerCentre } from './closed-form.ts';
import { Layers } from './finite-volume.ts';

describe('the layer model that the forecast is measured against', () => {
  it.each(CLOSED_FORMS)('reaches the target of the $name when the exact series does', (form) => {
    const points = layerCentre(form, form.timeS * 1.05);
    const arrival = points.find(({ tempC }) => tempC >= form.targetC);
    // First-order time steps and 40 layers: half a percent.
    expect(Math.abs(arrival!.atS / form.timeS - 1)).toBeLessThan(0.005);
  });

  it('cooks faster the more often a piece is turned over one-sided heat, and fastest between two fires', () => {
    // Order as measured for patties to 71.1 degC: double-sided 2.7 < turned every 30 s 6.6 < turned once 10.9 min
    // (Rhee et al. 2003, J. Food Protection 66:1030, abstract read).
    const minutes = (turnEveryS: number, isDouble: boolean): number => {
      const layers = new Layers(
        { shape: 'slab', sizeM: 0.02, conductivityWmK: 0.45, kRisePerC: 0, heatCapacityJm3K: 3.36e6 },
        5,
      );
      for (let atS = 0; atS < 3600; atS += 0.5) {
        if (atS > 0 && atS % turnEveryS === 0) layers.turn();
        layers.step(0.5, (face, tempC) => (face === 0 || isDouble ? 300 * (180 - tempC) : 15 * (40 - tempC)));
        if (layers.at(0.01) >= 71) return atS / 60;
      }
      return Number.POSITIVE_INFINITY;
    };
    const double = minutes(1e9, true);
    const often = minutes(30, false);
    const seldom = minutes(240, false);
    expect(double).toBeLessThan(often);
    expect(often).toBeLessThan(seldom);
    // 284 s and 384 s for such a piece by an independent run (its own code; properties a little different, so the ratio).
    expect(Math.abs(often / double / (384 / 284) - 1)).toBeLessThan(0.03);
  });

  it('neither makes nor loses heat inside: an insulated body keeps its temperature', () => {
    const layers = new Layers(
      { shape: 'slab', sizeM: 0.03, conductivityWmK: 0.45, kRisePerC: 0.001, heatCapacityJm3K: 3.5e6 },
      20,
    );
    for (let i = 0; i < 200; i += 1) layers.step(1, () => 0);
    expect(layers.at(0.015)).toBeCloseTo(20, 4);
    expect(layers.at(0.001)).toBeCloseTo(20, 4);
  });

  it('stores what flows in: constant flux raises the mean by flux x time / capacity', () => {
    const layers = new Layers(
      { shape: 'slab', sizeM: 0.02, conductivityWmK: 5, kRisePerC: 0, heatCapacityJm3K: 3.5e6 },
      20,
    );
    for (let i = 0; i < 300; i += 1) layers.step(1, () => 1000);
    const mean = [0.001, 0.005, 0.01, 0.015, 0.019].reduce((sum, x) => sum + layers.at(x), 0) / 5;
    expect(Math.abs(mean - (20 + (2 * 1000 * 300) / (3.5e6 * 0.02)))).toBeLessThan(0.2);
  });
});
