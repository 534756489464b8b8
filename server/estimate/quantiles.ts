/** The ten points that a forecast gives: 5 %, 15 % ... 95 %. */
const SHARES = [0.05, 0.15, 0.25, 0.35, 0.45, 0.55, 0.65, 0.75, 0.85, 0.95] as const;

/** One point of a sorted sample; Infinity when it falls among the draws that never arrive. */
export function sampleQuantile(sorted: readonly number[], share: number): number {
  const place = Math.min(Math.max(share * sorted.length - 0.5, 0), sorted.length - 1);
  const below = sorted[Math.floor(place)];
  const above = sorted[Math.ceil(place)];
  if (below === undefined || above === undefined) return Number.POSITIVE_INFINITY;
  if (!Number.isFinite(above)) return place - Math.floor(place) < 0.5 ? below : above;
  return below + (above - below) * (place - Math.floor(place));
}

/**
 * Ten equally likely moments from drawn waiting times.
 * @param waitsS seconds from `fromMs`, one per draw; anything that is not finite = never
 * @param notBeforeMs a moment that is already past is moved here: it is due now
 * @returns ten epoch ms in ascending order, null for "may never" (always last)
 */
export function tenQuantilesMs(
  waitsS: readonly number[],
  fromMs: number,
  notBeforeMs: number,
): (number | null)[] {
  const sorted = waitsS
    .map((wait) => (Number.isFinite(wait) ? wait : Number.POSITIVE_INFINITY))
    .sort((a, b) => a - b);
  return SHARES.map((share) => {
    const waitS = sampleQuantile(sorted, share);
    return Number.isFinite(waitS) ? Math.max(notBeforeMs, Math.round(fromMs + waitS * 1000)) : null;
  });
}
