import type { Rng } from '../rng.ts';
import { normal } from '../rng.ts';

export type ProbeSpec = {
  /** First-order time constant in what it sits in, s. */
  tauS: number;
  /** Standard deviation of one reading, degC. */
  noiseC: number;
  /** Constant error of this probe, degC. */
  offsetC: number;
};
export type Probe = { tempC: number };

/** Resolution of a reading, degC. */
const STEP_C = 0.1;

/** The probe follows what surrounds its tip: tau dT/dt = surroundings - T, exact for a constant surrounding. */
export function followProbe(spec: ProbeSpec, probe: Probe, surroundingC: number, stepS: number): void {
  probe.tempC += (surroundingC - probe.tempC) * (1 - Math.exp(-stepS / spec.tauS));
}

/** What the probe would send now, degC in steps of 0.1. */
export function readProbe(spec: ProbeSpec, probe: Probe, rng: Rng): number {
  const value = probe.tempC + spec.offsetC + spec.noiseC * normal(rng);
  return Math.round(value / STEP_C) / Math.round(1 / STEP_C);
}
