/**
 * A thermal-death rule. L(T) = 10^((T - refC) / z); its time integral, in minutes at refC, must reach `targetMin`.
 * `zBelowRefC` is used below refC, `zC` from refC upward; nothing is counted below `fromC`.
 */
export type LethalityRule = {
  refC: number;
  zC: number;
  zBelowRefC: number;
  fromC: number;
  targetMin: number;
};
type Counting = Omit<LethalityRule, 'targetMin'>;

const MS_PER_MIN = 60_000;
/** Far below any resolution: keeps the division by the rise finite. */
const LEVEL_WITHIN_C = 1e-9;

/**
 * How fast time counts at a temperature, dimensionless; 1 at refC. Zero below `fromC` and for anything that is no number.
 * Bigelow's relation, as in the R package bioinactivation.
 */
export function lethalRate(tempC: number, rule: Counting): number {
  if (!Number.isFinite(tempC) || tempC < rule.fromC) return 0;
  return 10 ** ((tempC - rule.refC) / (tempC < rule.refC ? rule.zBelowRefC : rule.zC));
}

/**
 * Exact integral of the lethal rate over a line from one temperature to another.
 *
 * Method: integral of an exponential along a straight line, dt (L(b) - L(a)) / ln(L(b)/L(a)), split where the rule changes.
 * The plain trapezoid over-credits, because L is convex (3.1304 for 3.1060 min on 60 to 70 degC in 10 min at 60 s).
 *
 * @param segment - temperatures at both ends, degC, and the duration, min
 * @returns minutes at the rule's reference temperature; 0 where a temperature or the duration is no number, or not positive
 */
export function segmentLethalityMin(
  segment: { fromTempC: number; toTempC: number; minutes: number },
  rule: Counting,
): number {
  const lowC = Math.min(segment.fromTempC, segment.toTempC);
  const highC = Math.max(segment.fromTempC, segment.toTempC);
  const usable = Number.isFinite(lowC) && Number.isFinite(highC) && Number.isFinite(segment.minutes);
  if (!usable || !(segment.minutes > 0) || highC < rule.fromC) return 0;
  if (highC - lowC < LEVEL_WITHIN_C) return segment.minutes * lethalRate(lowC, rule);
  const minPerC = segment.minutes / (highC - lowC);
  const countedC = Math.max(lowC, rule.fromC);
  const middleC = Math.min(highC, Math.max(countedC, rule.refC));
  return (
    ramp({ lowC: countedC, highC: middleC, minPerC, zC: rule.zBelowRefC }, rule.refC) +
    ramp({ lowC: middleC, highC, minPerC, zC: rule.zC }, rule.refC)
  );
}

/** Integral over a rise from lowC to highC with one z; `expm1` keeps it exact when the two are close. */
function ramp(
  { lowC, highC, minPerC, zC }: Record<'lowC' | 'highC' | 'minPerC' | 'zC', number>,
  refC: number,
) {
  const perC = Math.LN10 / zC;
  return (minPerC * 10 ** ((lowC - refC) / zC) * Math.expm1((highC - lowC) * perC)) / perC;
}

/**
 * Lethality of a contiguous trace, straight lines between its samples.
 *
 * @param samples - ascending in time; atMs epoch ms, tempC degC. A segment that touches a temperature that is no number counts nothing.
 * @returns minutes at the rule's reference temperature
 */
export function lethalityMin(samples: readonly { atMs: number; tempC: number }[], rule: Counting): number {
  let sumMin = 0;
  let before: { atMs: number; tempC: number } | null = null;
  for (const sample of samples) {
    if (before !== null) {
      const minutes = (sample.atMs - before.atMs) / MS_PER_MIN;
      sumMin += segmentLethalityMin({ fromTempC: before.tempC, toTempC: sample.tempC, minutes }, rule);
    }
    before = sample;
  }
  return sumMin;
}
