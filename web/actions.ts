import { signal } from '@preact/signals';
import * as z from 'zod/mini';
import { SpotCheckViewSchema, StepViewSchema } from '../server/contract/api.ts';
import type { Problem } from '../server/contract/api.ts';
import type { SpotCheckInput, StepInput } from '../server/contract/steps.ts';
import { api, isNoLink, problemText } from './api-client.ts';
import { degText } from './format/temperature.ts';
import { whenHeardAgain } from './heard-again.ts';
import { board } from './state.ts';
import { doneText } from './words.ts';

const UNDO_MS = 10_000;
const SAVED_MS = 4_000;

export type UndoOffer = { stepId: string; text: string };
/** The step that can be taken back, for ten seconds after it was recorded. */
export const undoOffer = signal<UndoOffer | null>(null);
/** What the server could not do, in its own words, until the cook closes it or the link is back. */
export const complaint = signal<string | null>(null);
/** What was saved and cannot be taken back, said for a few seconds. */
export const saved = signal<string | null>(null);
/** Actions confirmed on this screen since the newest board: they are not offered a second time. */
export const settledActions = signal<{ asOfMs: number; ids: readonly string[] }>({ asOfMs: 0, ids: [] });

let undoTimer: ReturnType<typeof setTimeout> | undefined;
let savedTimer: ReturnType<typeof setTimeout> | undefined;
let stopWaiting = (): void => undefined;

export type StepRequest = { batchId: string; name: string; input: StepInput; actionId?: string };

/** Records what the cook did. True when the server kept it; what went wrong is shown, never swallowed. */
export async function recordStep({ batchId, name, input, actionId }: StepRequest): Promise<boolean> {
  const answer = await api(
    'POST',
    `/api/batches/${encodeURIComponent(batchId)}/steps`,
    StepViewSchema,
    input,
  );
  if (!answer.ok) return complain(answer.problem);
  if (actionId !== undefined) settle(actionId);
  complaint.value = null;
  offerUndo({ stepId: answer.value.id, text: doneText(name, input.step) });
  return true;
}

export async function takeBack({ stepId }: UndoOffer): Promise<boolean> {
  const answer = await api('DELETE', `/api/steps/${encodeURIComponent(stepId)}`, z.unknown());
  if (!answer.ok) return complain(answer.problem);
  closeUndo();
  settledActions.value = { asOfMs: 0, ids: [] };
  return true;
}

/** Says that the alarm was seen; it claims nothing about what was done. */
export async function acknowledge(alarmId: string): Promise<boolean> {
  const answer = await api('POST', `/api/alarms/${encodeURIComponent(alarmId)}/acknowledge`, z.unknown(), {});
  return answer.ok || complain(answer.problem);
}

export async function recordSpotCheck(batchId: string, input: SpotCheckInput): Promise<boolean> {
  const path = `/api/batches/${encodeURIComponent(batchId)}/spot-checks`;
  const answer = await api('POST', path, SpotCheckViewSchema, input);
  if (!answer.ok) return complain(answer.problem);
  complaint.value = null;
  saySaved(`Saved: spot check, ${degText(answer.value.tempC)}`);
  return true;
}

function saySaved(text: string): void {
  clearTimeout(savedTimer);
  closeUndo();
  saved.value = text;
  savedTimer = setTimeout(() => {
    saved.value = null;
  }, SAVED_MS);
}

export function closeUndo(): void {
  clearTimeout(undoTimer);
  undoOffer.value = null;
}

function offerUndo(offer: UndoOffer): void {
  clearTimeout(undoTimer);
  saved.value = null;
  undoOffer.value = offer;
  undoTimer = setTimeout(closeUndo, UNDO_MS);
}

function settle(actionId: string): void {
  const asOfMs = board.peek()?.asOfMs ?? 0;
  const earlier = settledActions.peek();
  const ids = earlier.asOfMs === asOfMs ? earlier.ids : [];
  settledActions.value = { asOfMs, ids: [...ids, actionId] };
}

function forgetComplaint(): void {
  stopWaiting();
  complaint.value = null;
}

function complain(problem: Problem): false {
  complaint.value = problemText(problem);
  stopWaiting();
  stopWaiting = isNoLink(problem) ? whenHeardAgain(forgetComplaint) : () => undefined;
  return false;
}
