import type { Alarm } from '../contract/board.ts';
import type { Batch, Dish, Place } from '../contract/cookout.ts';
import type { Reading } from '../contract/reading.ts';
import type { SpotCheck, Step } from '../contract/steps.ts';
import { batchStory, type BatchStory } from '../plan/batch-story.ts';
import type { CookoutState } from '../ports.ts';
import { readingsOf } from './tracks.ts';

/** One batch with everything that belongs to it, as of one moment. */
export type BatchScene = {
  batch: Batch;
  dish: Dish;
  story: BatchStory;
  steps: Step[];
  spotChecks: SpotCheck[];
  /** Core readings from just before it went on until it was served or its probe went into the next batch. */
  readings: Reading[];
  /** Where it lies or is meant to lie. */
  place: Place | null;
  serveAtMs: number | null;
  rowId: string;
};

export type Scene = {
  state: CookoutState;
  nowMs: number;
  batches: BatchScene[];
  trackOf: (sensorId: string) => readonly Reading[];
};

/** A core probe is often in the food before somebody presses "Put on". */
const BEFORE_ON_MS = 2 * 60_000;

export function batchRowId(batchId: string): string {
  return `batch-${batchId}`;
}
export function placeRowId(placeId: string): string {
  return `place-${placeId}`;
}

export function setScene(state: CookoutState, nowMs: number, trackOf: Scene['trackOf']): Scene {
  const stepsOf = new Map<string, Step[]>();
  for (const step of state.steps) stepsOf.set(step.batchId, [...(stepsOf.get(step.batchId) ?? []), step]);
  const batches = state.batches.flatMap((batch) => {
    const dish = state.dishes.find((d) => d.id === batch.dishId);
    if (!dish) return [];
    const steps = stepsOf.get(batch.id) ?? [];
    const story = batchStory(steps);
    const placeId = story.placeId ?? batch.placeId;
    return [
      {
        batch,
        dish,
        steps,
        story,
        spotChecks: state.spotChecks.filter((check) => check.batchId === batch.id),
        readings: [] as Reading[],
        place: state.places.find((p) => p.id === placeId) ?? null,
        serveAtMs: state.cookout.serves.find((s) => s.id === batch.serveId)?.atMs ?? null,
        rowId: batchRowId(batch.id),
      },
    ];
  });
  for (const scene of batches) scene.readings = coreReadings(scene, batches, state, { nowMs, trackOf });
  return { state, nowMs, batches, trackOf };
}

export function discardedMs(steps: readonly Step[]): number | null {
  return steps.find((s) => s.step === 'discarded')?.atMs ?? null;
}

/** When a batch begins and ends to own what its probe reads; null while it has not begun. */
export function coreSpan(
  scene: BatchScene,
  all: readonly BatchScene[],
  nowMs: number,
): { fromMs: number; toMs: number } | null {
  const beginMs = scene.story.firstOnMs ?? scene.story.reheatingMs;
  if (beginMs === null) return null;
  const nextOnMs = all
    .filter((o) => o !== scene && o.batch.sensorId === scene.batch.sensorId)
    .map((o) => o.story.firstOnMs ?? Infinity)
    .filter((onMs) => onMs > beginMs)
    .reduce((a, b) => Math.min(a, b), Infinity);
  const endMs = scene.story.servedMs ?? discardedMs(scene.steps) ?? Infinity;
  return { fromMs: beginMs - BEFORE_ON_MS, toMs: Math.min(endMs, nextOnMs - BEFORE_ON_MS, nowMs) };
}

function coreReadings(
  scene: BatchScene,
  all: readonly BatchScene[],
  state: CookoutState,
  { nowMs, trackOf }: Pick<Scene, 'nowMs' | 'trackOf'>,
): Reading[] {
  const span = coreSpan(scene, all, nowMs);
  if (!span) return [];
  const parts = readingsOf({ kind: 'batch', id: scene.batch.id }, span, state.seats, trackOf);
  return parts.flatMap((p) => p.readings).sort((a, b) => a.atMs - b.atMs);
}

/** What a row tells of its alarm. */
export function alarmFields(alarm: Alarm | null): { seenMs: number | null; alarmId: string | null } {
  return alarm === null ? { seenMs: null, alarmId: null } : { seenMs: alarm.seenMs, alarmId: alarm.id };
}

/** The open alarm that a row shows: the worst one, alarms being in that order already. */
export function alarmOfRow(alarms: readonly Alarm[], rowId: string): Alarm | null {
  return alarms.find((alarm) => alarm.rowId === rowId) ?? null;
}
