export type LidOpening = { fromS: number; toS: number };

/** Air under the lid has a time constant of about 30 s (fit to a published opening test, from memory). */
const OPENS_IN_S = 20;
/** Open 1 min: back in 1 to 2 min; open 5 min: almost 10 min (G. Blonder's opening test, 2011, read). */
const RECOVERY_PER_OPEN = 1.8;
const RECOVERY_MIN_S = 20;
const RECOVERY_MAX_S = 600;

function recoveryS({ fromS, toS }: LidOpening): number {
  return Math.min(Math.max((toS - fromS) * RECOVERY_PER_OPEN, RECOVERY_MIN_S), RECOVERY_MAX_S);
}

function openness(opening: LidOpening, atS: number): number {
  const { fromS, toS } = opening;
  if (atS <= fromS) return 0;
  const peak = Math.min((Math.min(atS, toS) - fromS) / OPENS_IN_S, 1);
  if (atS <= toS) return peak;
  return peak * Math.max(1 - (atS - toS) / recoveryS(opening), 0);
}

/** How much of an open lid the food feels at a time, 0 (closed and recovered) to 1 (open). */
export function lidOpenness(openings: readonly LidOpening[], atS: number): number {
  return openings.reduce((most, opening) => Math.max(most, openness(opening, atS)), 0);
}

/** The times at which the openness bends, so that straight pieces between them are exact. */
export function lidCornersS(openings: readonly LidOpening[]): number[] {
  return openings.flatMap((opening) => {
    const { fromS, toS } = opening;
    return [fromS, Math.min(fromS + OPENS_IN_S, toS), toS, toS + recoveryS(opening)].filter(Number.isFinite);
  });
}
