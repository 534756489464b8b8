import type { Step, StepKind } from '../../server/contract/steps.ts';
import type { PlanBatch } from '../../server/plan/next-actions.ts';

/** An invented afternoon: 2026-08-29T15:00:00Z. */
export const START_MS = 1_788_015_600_000;
export const atMin = (minutes: number): number => START_MS + minutes * 60_000;
export const MIN = 60_000;

/** A batch of kofta that is planned, unless said otherwise. */
export function batch(q: Partial<PlanBatch> = {}): PlanBatch {
  return {
    batchId: 'kofta-1',
    rowId: 'kofta-1',
    short: 'Kofta',
    full: 'Lamb kofta',
    status: 'planned',
    onMs: null,
    lastTurnMs: null,
    turnPlan: { kind: 'none' },
    expectedCookMs: null,
    quantilesMs: null,
    readySinceMs: null,
    clockOffMs: null,
    restUntilMs: null,
    serveAtMs: null,
    plannedOnMs: null,
    reserve: false,
    heatLatestMs: null,
    offMs: null,
    needsCheckMs: null,
    ...q,
  };
}

/** Ten moments, one every minute from `fromMin`. */
export const coals = (fromMin: number): number[] => Array.from({ length: 10 }, (_, i) => atMin(fromMin + i));

export function step(minute: number, kind: StepKind, q: Partial<Step> = {}): Step {
  return {
    id: `s-${String(minute)}-${kind}`,
    batchId: 'kofta-1',
    step: kind,
    atMs: atMin(minute),
    zone: null,
    placeId: null,
    ...q,
  };
}
