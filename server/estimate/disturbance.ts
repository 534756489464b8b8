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
  const first = samples[0];
  if (!first) return null;
  const fromS = Math.max(first.atS, 0) + SETTLING_S;
  const fallC = Math.max(FALL_C, 6 * noiseC);
  const riseC = Math.max(RISE_MIN_C, 8 * noiseC, RISE_WITHIN_S * RISE_C_PER_FOURIER * kappaPerS);
  let newest = null as Disturbance | null;
  for (let i = 0; i < samples.length; i += 1) {
    const here = samples[i];
    if (!here || here.atS < fromS) continue;
    const minute = extremeWithin(samples, i, FALL_WITHIN_S);
    const rise = extremeWithin(samples, i, RISE_WITHIN_S);
    const byC = minute ? minute.high.tempC - here.tempC : 0;
    const isFall = minute !== null && byC > fallC;
    const isRise = rise !== null && here.tempC - rise.low.tempC > riseC;
    if (!isFall && !isRise) continue;
    const from: Sample = isFall ? minute.high : (rise?.low ?? here);
    const isSame: boolean = newest !== null && from.atS <= newest.toS + SETTLING_S;
    const levelBeforeC: number = isSame && newest ? newest.levelBeforeC : from.tempC;
    const fall: Fall | null = isFall ? { byC, inMs: (here.atS - from.atS) * 1000 } : null;
    const deepest: Fall | null =
      isSame && newest?.fall && newest.fall.byC > (fall?.byC ?? 0) ? newest.fall : fall;
    newest = {
      fromS: isSame && newest ? newest.fromS : from.atS,
      toS: here.atS,
      levelBeforeC,
      fall: deepest,
    };
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
