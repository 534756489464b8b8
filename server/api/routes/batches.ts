import { Router } from 'express';
import { BatchInputSchema, type Batch, type BatchInput } from '../../contract/cookout.ts';
import type { CookoutState } from '../../ports.ts';
import type { ApiDeps } from '../deps.ts';
import { HttpProblem, notFound, parseBody, wrongField } from '../problem.ts';

const ORDINALS = ['1st', '2nd', '3rd', ...Array.from({ length: 17 }, (_, i) => `${i + 4}th`)];

/** The first ordinal that no other batch of the dish has. */
function freeLabel(others: readonly Batch[]): string {
  const taken = new Set(others.map((b) => b.label));
  return ORDINALS.find((label) => !taken.has(label)) ?? `no. ${others.length + 1}`;
}

function merge(before: Batch, patch: BatchInput): Batch {
  return {
    ...before,
    label: patch.label ?? before.label,
    pieces: patch.pieces ?? before.pieces,
    serveId: patch.serveId === undefined ? before.serveId : patch.serveId,
    sensorId: patch.sensorId === undefined ? before.sensorId : patch.sensorId,
    placeId: patch.placeId === undefined ? before.placeId : patch.placeId,
    plannedOnMs: patch.plannedOnMs === undefined ? before.plannedOnMs : patch.plannedOnMs,
  };
}

function check(batch: Batch, state: CookoutState): void {
  if (batch.serveId !== null && !state.cookout.serves.some((s) => s.id === batch.serveId)) {
    throw wrongField('serveId', 'no such serving time in this cookout');
  }
  if (batch.placeId !== null && !state.places.some((p) => p.id === batch.placeId)) {
    throw wrongField('placeId', 'no such place in this cookout');
  }
}

export function batchRoutes(deps: ApiDeps): Router {
  const { cookouts, clock } = deps;
  const router = Router();
  const stateOfDish = (dishId: string): CookoutState => {
    const dish = cookouts.dish(dishId);
    const state = dish ? cookouts.get(dish.cookoutId) : null;
    if (!state) throw notFound('dish');
    return state;
  };

  router.get('/dishes/:id/batches', (req, res) => {
    const { id } = req.params;
    res.json(stateOfDish(id).batches.filter((b) => b.dishId === id));
  });

  router.post('/dishes/:id/batches', (req, res) => {
    const dishId = req.params.id;
    const state = stateOfDish(dishId);
    const input = parseBody(BatchInputSchema, req.body);
    const others = state.batches.filter((b) => b.dishId === dishId);
    const empty: Batch = {
      id: deps.newId(),
      dishId,
      label: freeLabel(others),
      pieces: 1,
      serveId: null,
      sensorId: null,
      placeId: null,
      plannedOnMs: null,
      order: Math.max(-1, ...others.map((b) => b.order)) + 1,
    };
    const batch = merge(empty, input);
    check(batch, state);
    cookouts.saveBatch(batch, clock.nowMs());
    deps.live.refresh();
    res.status(201).json(batch);
  });

  router.patch('/batches/:id', (req, res) => {
    const before = cookouts.batch(req.params.id);
    if (!before) throw notFound('batch');
    const batch = merge(before, parseBody(BatchInputSchema, req.body));
    check(batch, stateOfDish(batch.dishId));
    cookouts.saveBatch(batch, clock.nowMs());
    deps.live.refresh();
    res.json(batch);
  });

  router.delete('/batches/:id', (req, res) => {
    const batch = cookouts.batch(req.params.id);
    if (!batch) throw notFound('batch');
    const state = stateOfDish(batch.dishId);
    const hasHistory =
      cookouts.steps(batch.id).length > 0 || state.spotChecks.some((check) => check.batchId === batch.id);
    if (hasHistory) throw new HttpProblem(409, 'The batch has steps or checks; the record must keep it');
    cookouts.remove('batch', batch.id);
    deps.live.refresh();
    res.status(204).end();
  });

  router.get('/batches/:id/forecast', (req, res) => {
    if (!cookouts.batch(req.params.id)) throw notFound('batch');
    res.json(deps.live.forecast(req.params.id) ?? { kind: 'none', why: 'not on the live screen' });
  });

  return router;
}
