/** A value stands still when it stayed within this for that long; the server asks the same. */
const STEADY_WITHIN_C = 0.3;
export const STEADY_SPAN_MS = 60_000;

/** [atMs, degC], ascending in time. */
export type Sample = readonly [atMs: number, tempC: number];
export type Steadiness =
  /** Not watched for long enough; `leftMs` more are needed. */
  { kind: 'watching'; leftMs: number } | { kind: 'moving'; byC: number } | { kind: 'steady' };

/** The samples with a new one; what is older than two spans is dropped. */
export function withSample(samples: readonly Sample[], atMs: number, tempC: number): readonly Sample[] {
  const last = samples.at(-1);
  if (last !== undefined && !(atMs > last[0])) return samples;
  return [...samples.filter(([at]) => at >= atMs - 2 * STEADY_SPAN_MS), [atMs, tempC]];
}

/** Whether a probe in ice or boiling water has come to rest. */
export function steadinessOf(samples: readonly Sample[]): Steadiness {
  const [first] = samples;
  const last = samples.at(-1);
  if (first === undefined || last === undefined) return { kind: 'watching', leftMs: STEADY_SPAN_MS };
  const values = samples.filter(([atMs]) => atMs >= last[0] - STEADY_SPAN_MS).map(([, tempC]) => tempC);
  const byC = Math.max(...values) - Math.min(...values);
  if (!(byC <= STEADY_WITHIN_C)) return { kind: 'moving', byC };
  const leftMs = STEADY_SPAN_MS - (last[0] - first[0]);
  return leftMs > 0 ? { kind: 'watching', leftMs } : { kind: 'steady' };
}
