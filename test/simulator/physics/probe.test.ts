import { describe, expect, it } from 'vitest';
import { followProbe, readProbe } from '../../../simulator/physics/probe.ts';
import { createRng } from '../../../simulator/rng.ts';

const SPEC = { tauS: 20, noiseC: 0, offsetC: 0 };

function secondsToShare(share: number): number {
  const probe = { tempC: 0 };
  let atS = 0;
  for (; probe.tempC < share; atS += 0.01) followProbe(SPEC, probe, 1, 0.01);
  return atS;
}

describe('a probe', () => {
  it('needs 0.693, 2.303 and 2.996 time constants for 50, 90 and 95 % of a step', () => {
    // First-order response: ln 2, ln 10, ln 20; reaction times of resistance thermometers, cable maker's sheet, read second-hand.
    expect(secondsToShare(0.5) / SPEC.tauS).toBeCloseTo(0.6931, 2);
    expect(secondsToShare(0.9) / SPEC.tauS).toBeCloseTo(2.3026, 2);
    expect(secondsToShare(0.95) / SPEC.tauS).toBeCloseTo(2.9957, 2);
    expect(secondsToShare(0.9) / secondsToShare(0.5)).toBeCloseTo(3.3219, 2);
  });

  it('lags behind a steady rise by rate times time constant', () => {
    // 3 degC/min with tau 20 s: 1.0 degC.
    const probe = { tempC: 0 };
    for (let second = 0; second < 600; second += 1) followProbe(SPEC, probe, 0.05 * (second + 0.5), 1);
    expect(0.05 * 600 - probe.tempC).toBeCloseTo(1, 2);
  });

  it('sends tenths of a degree, and nothing else', () => {
    const rng = createRng(1, 'probe');
    for (let tempC = -20; tempC < 300; tempC += 0.37) {
      const text = JSON.stringify(readProbe({ ...SPEC, noiseC: 0.1 }, { tempC }, rng));
      expect(text).toMatch(/^-?\d+(\.\d)?$/);
    }
  });

  it('is off by its offset and noisy by its noise', () => {
    const rng = createRng(2, 'probe');
    const readings = Array.from({ length: 4000 }, () =>
      readProbe({ tauS: 5, noiseC: 0.5, offsetC: 0.7 }, { tempC: 60 }, rng),
    );
    const mean = readings.reduce((sum, value) => sum + value, 0) / readings.length;
    const spread = Math.sqrt(readings.reduce((sum, value) => sum + (value - mean) ** 2, 0) / readings.length);
    expect(mean).toBeCloseTo(60.7, 1);
    expect(spread).toBeCloseTo(0.5, 1);
  });
});
