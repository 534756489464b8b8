/** How far a probe must rise in the hand before anything is said, degC. OURS. */
export const LEAST_RISE_C = 2;
/** How many times the rise of the next one it must be. OURS. */
const LEAD = 2;
/** Hotter than this is the fire, not a hand, degC. OURS. */
const FIRE_C = 60;

export type HandReading = {
  sensorId: string;
  /** The newest live temperature, degC; null when there is none that is live. */
  tempC: number | null;
};
export type HandRise = {
  sensorId: string;
  tempC: number | null;
  /** degC since the start; null when it was not live at the start or is not now. */
  riseC: number | null;
  isFire: boolean;
};
export type Warmest = { sensorId: string | null; rises: HandRise[] };

/** The values at the start, with those that became live since then added as they came. */
export function startsWith(
  before: ReadonlyMap<string, number>,
  now: readonly HandReading[],
): ReadonlyMap<string, number> {
  const added = new Map(before);
  for (const { sensorId, tempC } of now)
    if (tempC !== null && Number.isFinite(tempC) && !added.has(sensorId)) added.set(sensorId, tempC);
  return added;
}

function riseOf({ sensorId, tempC }: HandReading, before: ReadonlyMap<string, number>): HandRise {
  const start = before.get(sensorId);
  const riseC = start === undefined || tempC === null ? Number.NaN : tempC - start;
  const isFire = tempC !== null && tempC > FIRE_C;
  return { sensorId, tempC, riseC: Number.isFinite(riseC) ? riseC : null, isFire };
}

/**
 * Which probe is being warmed in the hand.
 *
 * @param before temperature of each probe at the start, degC
 * @param now    the newest live temperatures
 * @returns the one that rose by 2 degC at least and at least twice as far as any other, else null; what the
 *   fire heats above 60 degC is neither chosen nor compared with
 */
export function warmest(before: ReadonlyMap<string, number>, now: readonly HandReading[]): Warmest {
  const rises = now.map((reading) => riseOf(reading, before));
  const inHand = rises.filter(({ riseC, isFire }) => riseC !== null && !isFire);
  const [first, second] = [...inHand].sort((a, b) => (b.riseC ?? 0) - (a.riseC ?? 0));
  const lead = first?.riseC ?? 0;
  const isClear = lead >= LEAST_RISE_C && lead >= LEAD * Math.max(0, second?.riseC ?? 0);
  return { sensorId: first !== undefined && isClear ? first.sensorId : null, rises };
}
