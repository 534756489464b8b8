import type { Sample } from './samples.ts';
import type { Fall } from './types.ts';

/** Inside food on a fire nothing falls by this much in a minute: the probe came out or was moved. */
const FALL_C = 3;
const FALL_WITHIN_S = 60;
/** A probe that has just been pushed in takes on the food's temperature first. Assumption. */
const SETTLING_S = 90;
/** Nothing in food rises faster than this share of 400 degC per unit of Fourier number. Assumption. */
const RISE_C_PER_FOURIER = 400;
const RISE_MIN_C = 12;
const RISE_WITHIN_S = 30;
/** After a disturbance the readings are believed again once they have been quiet and rising for so long. */
const QUIET_S = 120;
/** A fall deeper than this is a probe in the open air until it has been quiet for long. Assumption. */
const DEEP_C = 20;
const QUIET_DEEP_S = 600;

/** The newest thing that food cannot do. `fromS` and `toS` span it; before and after it the probe sat elsewhere. */
export type Disturbance = { fromS: number; toS: number; levelBeforeC: number; fall: Fall | null };

type Extreme = { high: Sample; low: Sample };

function extremeWithin(samples: readonly Sample[], end: number, spanS: number): Extreme | null {
  const here = samples[end];
  if (!here) return null;
  let [high, low] = [here, here];
  for (let i = end - 1; i >= 0; i -= 1) {
    const sample = samples[i];
    if (!sample || sample.atS < here.atS - spanS) break;
    if (sample.tempC > high.tempC) high = sample;
    if (sample.tempC < low.tempC) low = sample;
  }
  return { high, low };
}

type Limits = { fallC: number; riseC: number };

/** What food cannot do, seen at one sample; null when there is nothing. */
function oddityAt(samples: readonly Sample[], index: number, limits: Limits): Disturbance | null {
  const here = samples[index];
  const minute = extremeWithin(samples, index, FALL_WITHIN_S);
  const rise = extremeWithin(samples, index, RISE_WITHIN_S);
  if (!here || !minute || !rise) return null;
  const byC = minute.high.tempC - here.tempC;
  if (byC > limits.fallC) {
    const { atS: fromS, tempC: levelBeforeC } = minute.high;
    return { fromS, toS: here.atS, levelBeforeC, fall: { byC, inMs: (here.atS - fromS) * 1000 } };
  }
  if (here.tempC - rise.low.tempC <= limits.riseC) return null;
  return { fromS: rise.low.atS, toS: here.atS, levelBeforeC: rise.low.tempC, fall: null };
}

function deeper(a: Fall | null, b: Fall | null): Fall | null {
  return (a?.byC ?? 0) > (b?.byC ?? 0) ? a : b;
}

/**
 * Looks for the newest fall of more than 3 degC within a minute, or rise faster than conduction allows.
 *
 * @param samples without single spikes, ascending, seconds since the batch went on
 * @param noiseC scatter of one reading, degC
 * @param kappaPerS alpha / L^2 of the piece
 */
export function newestDisturbance(
  samples: readonly Sample[],
  noiseC: number,
  kappaPerS: number,
): Disturbance | null {
  const fromS = Math.max(samples[0]?.atS ?? 0, 0) + SETTLING_S;
  const limits = {
    fallC: Math.max(FALL_C, 6 * noiseC),
    riseC: Math.max(RISE_MIN_C, 8 * noiseC, RISE_WITHIN_S * RISE_C_PER_FOURIER * kappaPerS),
  };
  let newest = null as Disturbance | null;
  for (let i = samples.findIndex(({ atS }) => atS >= fromS); i >= 0 && i < samples.length; i += 1) {
    const odd = oddityAt(samples, i, limits);
    if (!odd) continue;
    const isSame = newest !== null && odd.fromS <= newest.toS + SETTLING_S;
    newest = newest && isSame ? { ...newest, toS: odd.toS, fall: deeper(newest.fall, odd.fall) } : odd;
  }
  return newest;
}

/** Whether the probe sits in food again after a disturbance: quiet for two minutes, not far below, and not falling. */
export function isSettledAfter(disturbance: Disturbance, newest: Sample, slopeCPerS: number): boolean {
  const quietS = newest.atS - disturbance.toS;
  const belowC = disturbance.levelBeforeC - newest.tempC;
  if (belowC <= FALL_C) return quietS >= QUIET_S / 2;
  if (!(slopeCPerS > 0)) return false;
  return quietS >= (belowC > DEEP_C ? QUIET_DEEP_S : QUIET_S);
}

/** Without the readings that belong to another place of the probe. */
export function samplesAfter(
  samples: readonly Sample[],
  disturbance: Disturbance,
  settledC: number,
): Sample[] {
  const sameplace = Math.abs(disturbance.levelBeforeC - settledC) <= FALL_C;
  const untilS = disturbance.toS + SETTLING_S / 3;
  return samples.filter(({ atS }) => atS > untilS || (sameplace && atS < disturbance.fromS));
}
