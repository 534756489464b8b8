import type { EtaForecast } from '../estimate/types.ts';
import { knownMarks, type PlanBatch } from '../plan/next-actions.ts';
import { plannedOn } from '../plan/timetable.ts';
import { shortOf, type BatchView } from './batch-row.ts';
import type { Forecasts } from './forecasts.ts';
import type { BatchJudgement } from './judge-batch.ts';
import type { Scene } from './scene.ts';

export type PlannedView = BatchView & { plan: PlanBatch };

const MS_PER_MIN = 60_000;
const MEDIAN = 5;

/** A moment some minutes after another; null when either is not known. */
function after(atMs: number | null, minutes: number | null): number | null {
  return atMs === null || minutes === null ? null : atMs + minutes * MS_PER_MIN;
}

/** What is known and estimated of one batch, as the plan and its row need it. */
export function plannedView(
  judged: BatchJudgement,
  { scene, forecasts, revision }: { scene: Scene; forecasts: Forecasts; revision: number },
): PlannedView {
  const { batch, dish, story, place, serveAtMs, rowId } = judged.scene;
  const forecast = forecasts.ofBatch(judged, scene, revision);
  const usual = forecasts.durationOf(dish, story.zone ?? place?.heat ?? null);
  const isBlind = judged.silent && batch.sensorId !== null;
  const eta = forecast?.kind === 'eta' && !isBlind ? forecast : null;
  const plan: PlanBatch = {
    batchId: batch.id,
    rowId,
    short: shortOf({ judged }),
    full: dish.name,
    status: story.status,
    onMs: story.onMs,
    lastTurnMs: story.lastTurnMs,
    turnPlan: dish.turnPlan,
    expectedCookMs: expectedCookMs(eta, story.onMs, usual?.p50 ?? dish.clockMin),
    quantilesMs: eta?.quantilesMs ?? null,
    readySinceMs: story.status === 'on' ? judged.readySinceMs : null,
    clockOffMs: dish.targetC === null ? after(story.onMs, dish.clockMin) : null,
    restUntilMs: after(story.offMs, dish.restMin),
    serveAtMs,
    plannedOnMs: batch.plannedOnMs ?? workedBack(serveAtMs, dish.restMin, usual?.p80 ?? dish.clockMin),
    reserve: dish.reserve,
    heatLatestMs: null, // a reserve waits to be wanted: its row shows the latest start, but nobody is told to heat it
    offMs: story.offMs,
    needsCheckMs: needsCheckMs(judged),
  };
  return {
    judged,
    forecast,
    ghost: forecasts.lastOf(batch.id),
    clockOffMs: plan.clockOffMs,
    plannedOnMs: plan.plannedOnMs,
    known: knownMarks(plan, scene.nowMs),
    plan,
  };
}

/** Off the fire with a limit that no probe to be believed has followed: somebody has to measure it by hand. */
function needsCheckMs({ scene, limit, verdict, newest }: BatchJudgement): number | null {
  const isOff = scene.story.status === 'off' || scene.story.status === 'held';
  const isDoubted = verdict?.state === 'unknown' && newest?.quality === 3;
  const isMeasured = verdict?.state === 'met' || (scene.readings.length > 0 && !isDoubted);
  return isOff && limit !== null && !isMeasured ? scene.story.offMs : null;
}

function expectedCookMs(
  eta: EtaForecast | null,
  onMs: number | null,
  usualMin: number | null,
): number | null {
  const medianMs = eta?.quantilesMs[MEDIAN] ?? null;
  if (onMs !== null && medianMs !== null) return medianMs - onMs;
  return usualMin === null ? null : usualMin * MS_PER_MIN;
}

function workedBack(serveAtMs: number | null, restMin: number, p80CookMin: number | null): number | null {
  return serveAtMs === null || p80CookMin === null ? null : plannedOn({ serveAtMs, restMin, p80CookMin });
}
