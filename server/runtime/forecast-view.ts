import type { ForecastView } from '../contract/api.ts';
import type { BoardParts } from './board.ts';

/** The 10 % and 90 % points and the median, from the 5 %, 15 % ... 95 % points by straight lines between neighbours. */
function between(quantilesMs: readonly (number | null)[], lower: number): number | null {
  const [a, b] = [quantilesMs[lower], quantilesMs[lower + 1]];
  return a == null || b == null ? null : Math.round((a + b) / 2);
}

/** The forecast of one batch as the API gives it; null when it is not on the fire. */
export function forecastView(
  batchId: string,
  { scene, batches, forecasts, revision }: BoardParts,
): ForecastView | null {
  const judged = batches.find((b) => b.scene.batch.id === batchId);
  const forecast = judged ? forecasts.ofBatch(judged, scene, revision) : null;
  if (!forecast) return null;
  if (forecast.kind === 'none') return { kind: 'none', why: forecast.why };
  const { quantilesMs, basis } = forecast;
  const medianMs = between(quantilesMs, 4);
  return {
    kind: 'eta',
    basis,
    medianMs,
    p10Ms: between(quantilesMs, 0),
    p90Ms: between(quantilesMs, 8),
    takeOffMs: medianMs,
    peakC: null,
    quantilesMs,
  };
}
