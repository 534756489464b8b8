import { Router } from 'express';
import { PlaceInputSchema, PlacePatchSchema, type Place, type PlacePatch } from '../../contract/cookout.ts';
import type { ApiDeps } from '../deps.ts';
import { HttpProblem, notFound, parseBody, wrongField } from '../problem.ts';
import { shortNameOf } from '../short-name.ts';

function checkHeat(place: Pick<Place, 'kind' | 'heat'>): void {
  if (place.kind === 'zone' && place.heat === null) throw wrongField('heat', 'a grill zone has a heat');
  if (place.kind !== 'zone' && place.heat !== null) throw wrongField('heat', 'only a grill zone has a heat');
}

function merge(before: Place, patch: PlacePatch): Place {
  const name = patch.name ?? before.name;
  return {
    ...before,
    kind: patch.kind ?? before.kind,
    name,
    short: patch.short ?? (patch.name === undefined ? before.short : shortNameOf(name)),
    heat: patch.heat === undefined ? before.heat : patch.heat,
    litres: patch.litres === undefined ? before.litres : patch.litres,
    sensorIds: patch.sensorIds ?? before.sensorIds,
  };
}

export function placeRoutes(deps: ApiDeps): Router {
  const { cookouts, clock } = deps;
  const router = Router();
  const save = (place: Place, sinceMs: number | undefined): void => {
    const nowMs = clock.nowMs();
    if (sinceMs !== undefined && sinceMs > nowMs)
      throw wrongField('sensorsSinceMs', 'must not be in the future');
    cookouts.savePlace(place, nowMs, sinceMs ?? nowMs);
  };

  router.get('/cookouts/:id/places', (req, res) => {
    const state = cookouts.get(req.params.id);
    if (!state) throw notFound('cookout');
    res.json(state.places);
  });

  router.post('/cookouts/:id/places', (req, res) => {
    const state = cookouts.get(req.params.id);
    if (!state) throw notFound('cookout');
    const input = parseBody(PlaceInputSchema, req.body);
    const empty: Place = {
      id: deps.newId(),
      cookoutId: state.cookout.id,
      kind: input.kind,
      name: input.name,
      short: shortNameOf(input.name),
      heat: null,
      litres: null,
      sensorIds: [],
      order: state.places.length,
    };
    const place = merge(empty, input);
    checkHeat(place);
    save(place, input.sensorsSinceMs);
    deps.live.refresh();
    res.status(201).json(place);
  });

  router.patch('/places/:id', (req, res) => {
    const before = cookouts.place(req.params.id);
    if (!before) throw notFound('place');
    const patch = parseBody(PlacePatchSchema, req.body);
    const place = merge(before, patch);
    checkHeat(place);
    save(place, patch.sensorsSinceMs);
    deps.live.refresh();
    res.json(place);
  });

  router.delete('/places/:id', (req, res) => {
    const place = cookouts.place(req.params.id);
    if (!place) throw notFound('place');
    const state = cookouts.get(place.cookoutId);
    const isUsed =
      state?.batches.some((b) => b.placeId === place.id) === true ||
      state?.steps.some((s) => s.placeId === place.id) === true;
    if (isUsed) throw new HttpProblem(409, 'A batch sits there or sat there');
    if (deps.live.alarms().some((alarm) => alarm.subject?.id === place.id)) {
      throw new HttpProblem(409, 'It has an alarm that is not over; the record must keep it');
    }
    cookouts.remove('place', place.id);
    deps.live.refresh();
    res.status(204).end();
  });

  return router;
}
