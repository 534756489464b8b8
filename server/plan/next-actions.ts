import type { Action, Row, Verb } from '../contract/board.ts';
import type { TurnPlan } from '../contract/food.ts';
import type { BatchStatus, StepKind } from '../contract/steps.ts';
import { nextTurnMs } from './turns.ts';

/** What is known of one batch. Times in epoch ms, durations in ms; null = not known, or does not apply. */
export type PlanBatch = {
  batchId: string;
  rowId: string;
  short: string;
  full: string;
  status: BatchStatus;
  onMs: number | null;
  lastTurnMs: number | null;
  turnPlan: TurnPlan;
  /** How long the whole cook is expected to take. */
  expectedCookMs: number | null;
  /** Ten equally likely moments of being ready, 5 % to 95 %. */
  quantilesMs: readonly (number | null)[] | null;
  /** Since when it has been ready, as measured. */
  readySinceMs: number | null;
  /** Take-off of a dish that is cooked by the clock. */
  clockOffMs: number | null;
  restUntilMs: number | null;
  serveAtMs: number | null;
  plannedOnMs: number | null;
  reserve: boolean;
  /** Latest start of heating a reserve dish. */
  heatLatestMs: number | null;
  offMs: number | null;
  /** Since when a check by hand is wanted: nobody measured the core, and it has a limit. */
  needsCheckMs: number | null;
};

type Due = { verb: Verb; atMs: number; known: boolean; step: StepKind | null };

/** The second coal of ten: the early edge of a forecast as the screen shows it. */
const EARLY_EDGE = 1;
/** Minutes are whole on the screen, so food that is not ready yet is never "now". */
const NOT_READY_AT_LEAST_MS = 60_000;
/** Among actions of the same moment: what spoils first. */
const VERB_RANK: Record<Verb, number> = { off: 0, turn: 1, move: 2, on: 3, heat: 4, check: 5, serve: 6 };

/**
 * What needs the cook, most urgent first: what is due, the longest due before the rest; then what comes, in order of time.
 *
 * @param nowMs - epoch ms
 */
export function nextActions(q: { batches: readonly PlanBatch[]; nowMs: number }): Action[] {
  return q.batches
    .flatMap((batch) => dueOf(batch, q.nowMs).map((due) => actionOf(batch, due)))
    .sort(byUrgency);
}

/**
 * The moments of one batch that are known, for its lane: a forecast is drawn as coals and is not among them, nor is a check,
 * which is wanted from a moment on and not at one.
 */
export function knownMarks(batch: PlanBatch, nowMs: number): Row['known'] {
  return dueOf(batch, nowMs)
    .filter(({ known, verb }) => known && verb !== 'check')
    .map(({ verb, atMs }) => ({ verb, atMs }))
    .sort((a, b) => a.atMs - b.atMs);
}

function dueOf(batch: PlanBatch, nowMs: number): Due[] {
  switch (batch.status) {
    case 'planned':
    case 'packed':
      return batch.reserve ? at('heat', batch.heatLatestMs, 'reheating') : at('on', batch.plannedOnMs, 'on');
    case 'cooling':
    case 'chilled':
      return batch.reserve ? at('heat', batch.heatLatestMs, 'reheating') : [];
    case 'on': {
      const off = takeOff(batch, nowMs);
      /** A turn that was missed is not worth doing once it is time to take it off. */
      const turn = off !== null && off.atMs <= nowMs ? null : nextTurnMs(batch, off?.atMs ?? null);
      return [...at('turn', turn, 'turned'), ...(off === null ? [] : [off]), ...checkOf(batch)];
    }
    case 'reheating': {
      const off = takeOff(batch, nowMs);
      return off === null ? [] : [off];
    }
    case 'off':
    case 'held':
      return [
        ...checkOf(batch),
        ...at('serve', latest(batch.restUntilMs, batch.serveAtMs, batch.offMs), 'served'),
      ];
    case 'served':
    case 'discarded':
      return [];
  }
}

/** No step follows a check: what is recorded is the temperature itself. */
function checkOf({ needsCheckMs }: PlanBatch): Due[] {
  return at('check', needsCheckMs, null);
}

function at(verb: Verb, atMs: number | null, step: StepKind | null): Due[] {
  return atMs === null ? [] : [{ verb, atMs, known: true, step }];
}

/** Ready as measured, else by the clock, else the early edge of the forecast; null when nobody can say. */
function takeOff({ readySinceMs, clockOffMs, quantilesMs }: PlanBatch, nowMs: number): Due | null {
  const knownMs = readySinceMs ?? clockOffMs;
  if (knownMs !== null) return { verb: 'off', atMs: knownMs, known: true, step: 'off' };
  const edgeMs = quantilesMs?.[EARLY_EDGE] ?? null;
  if (edgeMs === null) return null;
  return { verb: 'off', atMs: Math.max(edgeMs, nowMs + NOT_READY_AT_LEAST_MS), known: false, step: 'off' };
}

function latest(...times: readonly (number | null)[]): number | null {
  const known = times.filter((atMs) => atMs !== null);
  return known.length === 0 ? null : Math.max(...known);
}

function actionOf(
  { batchId, rowId, short, full, onMs, lastTurnMs }: PlanBatch,
  { verb, atMs, known, step }: Due,
): Action {
  /** Each turn is an action of its own; every other keeps its name while its moment moves. */
  const which = verb === 'turn' ? `-${String(lastTurnMs ?? onMs)}` : '';
  return { id: `${batchId}-${verb}${which}`, verb, rowId, batchId, short, full, atMs, known, step };
}

function byUrgency(a: Action, b: Action): number {
  return a.atMs - b.atMs || VERB_RANK[a.verb] - VERB_RANK[b.verb] || (a.id < b.id ? -1 : 1);
}
