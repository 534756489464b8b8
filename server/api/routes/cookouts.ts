import { Router } from 'express';
import type { CookoutDetail } from '../../contract/api.ts';
import {
  CookoutInputSchema,
  CookoutPatchSchema,
  type Cookout,
  type CookoutInput,
  type Serve,
} from '../../contract/cookout.ts';
import { statusOf } from '../../contract/steps.ts';
import type { CookoutState } from '../../ports.ts';
import type { ApiDeps } from '../deps.ts';
import { HttpProblem, notFound, parseBody, wrongField } from '../problem.ts';

export function detailOf(state: CookoutState): CookoutDetail {
  const { cookout, places, dishes, steps, spotChecks } = state;
  const batches = state.batches.map((batch) => ({
    ...batch,
    status: statusOf(steps.filter((s) => s.batchId === batch.id)),
  }));
  return { cookout, places, dishes, batches, steps, spotChecks };
}

function servesOf(input: CookoutInput['serves'], newId: () => string): Serve[] {
  const serves = (input ?? []).map(({ id, atMs }) => ({ id: id ?? newId(), atMs }));
  return serves.sort((a, b) => a.atMs - b.atMs);
}

/** A serving time that batches are meant for cannot vanish under them. */
function checkServesKept(state: CookoutState, serves: readonly Serve[]): void {
  const kept = new Set(serves.map((s) => s.id));
  const orphan = state.batches.find((b) => b.serveId !== null && !kept.has(b.serveId));
  if (orphan) throw wrongField('serves', `batch ${orphan.label} is meant for a serving time that would go`);
}

export function cookoutRoutes(deps: ApiDeps): Router {
  const { cookouts, clock, newId } = deps;
  const router = Router();
  const find = (id: string): CookoutState => {
    const state = cookouts.get(id);
    if (!state) throw notFound('cookout');
    return state;
  };
  const checkZone = (zone: string | undefined): void => {
    if (zone !== undefined && !deps.isTimeZone(zone)) {
      throw wrongField('timeZone', 'must be an IANA time zone such as Europe/London');
    }
  };

  /** Two at once would leave one of them unwatched. */
  const checkNoneRunning = (exceptId: string | null): void => {
    const running = cookouts.current();
    if (running && running.cookout.id !== exceptId) {
      throw new HttpProblem(409, `"${running.cookout.name}" is still running. End it first`);
    }
  };

  router.get('/cookouts', (_req, res) => void res.json(cookouts.all()));

  router.post('/cookouts', (req, res) => {
    const input = parseBody(CookoutInputSchema, req.body);
    checkZone(input.timeZone);
    checkNoneRunning(null);
    const cookout: Cookout = {
      id: newId(),
      name: input.name,
      timeZone: input.timeZone ?? deps.defaultTimeZone,
      altitudeM: input.altitudeM ?? 0,
      ruleSet: input.ruleSet,
      guests: input.guests ?? 0,
      diets: input.diets ?? [],
      serves: servesOf(input.serves, newId),
      isDemo: input.isDemo ?? false,
      createdMs: clock.nowMs(),
      endedMs: null,
    };
    cookouts.saveCookout(cookout);
    deps.live.refresh();
    res.status(201).json(cookout);
  });

  router.get('/cookouts/:id', (req, res) => void res.json(detailOf(find(req.params.id))));

  router.patch('/cookouts/:id', (req, res) => {
    const state = find(req.params.id);
    const { ended, serves, ...patch } = parseBody(CookoutPatchSchema, req.body);
    checkZone(patch.timeZone);
    const before = state.cookout;
    const cookout: Cookout = {
      ...before,
      name: patch.name ?? before.name,
      timeZone: patch.timeZone ?? before.timeZone,
      altitudeM: patch.altitudeM ?? before.altitudeM,
      ruleSet: patch.ruleSet ?? before.ruleSet,
      guests: patch.guests ?? before.guests,
      diets: patch.diets ?? before.diets,
      serves: serves === undefined ? before.serves : servesOf(serves, newId),
      endedMs: ended === undefined ? before.endedMs : ended ? (before.endedMs ?? clock.nowMs()) : null,
    };
    checkServesKept(state, cookout.serves);
    if (cookout.endedMs === null) checkNoneRunning(cookout.id);
    cookouts.saveCookout(cookout);
    deps.live.refresh();
    res.json(cookout);
  });

  return router;
}
