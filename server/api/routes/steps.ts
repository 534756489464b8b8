import { Router } from 'express';
import {
  SpotCheckInputSchema,
  StepInputSchema,
  statusAfter,
  statusOf,
  type SpotCheck,
  type Step,
} from '../../contract/steps.ts';
import type { StepInput } from '../../contract/steps.ts';
import type { Batch, Place } from '../../contract/cookout.ts';
import type { CookoutState } from '../../ports.ts';
import type { ApiDeps } from '../deps.ts';
import { HttpProblem, notFound, parseBody, wrongField } from '../problem.ts';

/** How long a step can be taken back, ms of server time: the screen offers ten seconds, the rest is travel. */
const UNDO_MS = 15_000;
const FUTURE_MS = 5_000;

function checkTime(atMs: number, nowMs: number): void {
  if (atMs > nowMs + FUTURE_MS) throw wrongField('atMs', 'must not be in the future');
}

/** Where a step leads: the place that is named, or the first zone of that heat. */
function destinationOf(input: StepInput, state: CookoutState): Pick<Step, 'zone' | 'placeId'> {
  if (input.placeId !== undefined) {
    const place = state.places.find((p) => p.id === input.placeId);
    if (!place) throw wrongField('placeId', 'no such place in this cookout');
    return { zone: place.heat, placeId: place.id };
  }
  if (input.zone === undefined) return { zone: null, placeId: null };
  const zone: Place | undefined = state.places.find((p) => p.kind === 'zone' && p.heat === input.zone);
  return { zone: input.zone, placeId: zone?.id ?? null };
}

/** A batch that goes on without a word about where goes where it was meant to. */
function plannedZone(batch: Batch, state: CookoutState): Pick<Step, 'zone' | 'placeId'> {
  const place = state.places.find((p) => p.id === batch.placeId && p.kind === 'zone');
  return { zone: place?.heat ?? null, placeId: place?.id ?? null };
}

export function stepRoutes(deps: ApiDeps): Router {
  const { cookouts, clock } = deps;
  const router = Router();
  const find = (batchId: string): { batch: Batch; state: CookoutState } => {
    const batch = cookouts.batch(batchId);
    const dish = batch ? cookouts.dish(batch.dishId) : null;
    const state = dish ? cookouts.get(dish.cookoutId) : null;
    if (!batch || !state) throw notFound('batch');
    return { batch, state };
  };

  router.post('/batches/:id/steps', (req, res) => {
    const { batch, state } = find(req.params.id);
    const input = parseBody(StepInputSchema, req.body);
    const nowMs = clock.nowMs();
    const atMs = input.atMs ?? nowMs;
    checkTime(atMs, nowMs);
    const before = cookouts.steps(batch.id);
    const status = statusOf(before);
    if (statusAfter(status, input.step) === null) {
      throw new HttpProblem(409, `"${input.step}" cannot follow: the batch is "${status}"`, [
        { field: 'step', message: `cannot follow "${status}"` },
      ]);
    }
    const lastMs = before.at(-1)?.atMs ?? -Infinity;
    if (atMs < lastMs)
      throw new HttpProblem(409, 'A later step is already recorded', [
        { field: 'atMs', message: `must not be before ${lastMs}` },
      ]);
    const named = destinationOf(input, state);
    const where =
      input.step === 'on' && named.placeId === null && named.zone === null
        ? plannedZone(batch, state)
        : named;
    const step: Step = { id: deps.newId(), batchId: batch.id, step: input.step, atMs, ...where };
    cookouts.addStep(step, nowMs);
    deps.live.refresh();
    res.status(201).json(step);
  });

  router.delete('/steps/:id', (req, res) => {
    const found = cookouts.step(req.params.id);
    if (!found) throw notFound('step');
    const nowMs = clock.nowMs();
    const isLast = cookouts.steps(found.step.batchId).at(-1)?.id === found.step.id;
    if (!isLast) throw new HttpProblem(409, 'Another step came after it');
    if (nowMs - found.recordedMs > UNDO_MS * clock.speed)
      throw new HttpProblem(409, 'Too late to take it back');
    cookouts.withdrawStep(found.step.id, nowMs);
    deps.live.refresh();
    res.status(204).end();
  });

  router.post('/batches/:id/spot-checks', (req, res) => {
    const { batch } = find(req.params.id);
    const input = parseBody(SpotCheckInputSchema, req.body);
    const nowMs = clock.nowMs();
    const atMs = input.atMs ?? nowMs;
    checkTime(atMs, nowMs);
    const check: SpotCheck = {
      id: deps.newId(),
      batchId: batch.id,
      tempC: input.tempC,
      atMs,
      where: input.where ?? '',
    };
    cookouts.addSpotCheck(check, nowMs);
    deps.live.refresh();
    res.status(201).json(check);
  });

  return router;
}
