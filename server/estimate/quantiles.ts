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

/** A point stands for a tenth of the chances: the mean over these places around it, so that no gap makes it jump. */
const AROUND = [-0.04, -0.02, 0, 0.02, 0.04] as const;

function smoothQuantile(sorted: readonly number[], share: number): number {
  if (!Number.isFinite(sampleQuantile(sorted, share))) return Number.POSITIVE_INFINITY;
  const near = AROUND.map((by) => sampleQuantile(sorted, share + by)).filter(Number.isFinite);
  // Of logarithms: waits scatter by factors.
  return Math.expm1(near.reduce((sum, wait) => sum + Math.log1p(Math.max(wait, 0)), 0) / near.length);
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
    const waitS = smoothQuantile(sorted, share);
    return Number.isFinite(waitS) ? Math.max(notBeforeMs, Math.round(fromMs + waitS * 1000)) : null;
  });
}
