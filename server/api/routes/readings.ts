import { Router, type Request } from 'express';
import * as z from 'zod/mini';
import { SensorPatchSchema, type RawReadings, type RejectView, type SensorView } from '../../contract/api.ts';
import type { CookoutState } from '../../ports.ts';
import type { ApiDeps } from '../deps.ts';
import { notFound, parseBody } from '../problem.ts';

const MAX_POINTS = 5_000;
const PAGE = 10_000;
const DAY_MS = 86_400_000;
const REJECTS_SHOWN = 200;

const WholeMs = z.coerce.number().check(z.int(), z.gte(0));
const QuerySchema = z.object({
  sensor: z.string().check(z.minLength(1), z.maxLength(128)),
  fromMs: z.optional(WholeMs),
  toMs: z.optional(WholeMs),
  points: z.optional(z.coerce.number().check(z.int(), z.gte(1), z.lte(MAX_POINTS))),
});

/** Where a probe sits in the current cookout: the batch on the fire first, else the plan. */
function seatOf(sensorId: string, state: CookoutState | null): SensorView['assignedTo'] {
  if (!state) return null;
  const place = state.places.find((p) => p.sensorIds.includes(sensorId));
  if (place) return { kind: 'place', id: place.id, name: place.name };
  const done = new Set(
    state.steps.filter((s) => s.step === 'served' || s.step === 'discarded').map((s) => s.batchId),
  );
  const batches = state.batches.filter((b) => b.sensorId === sensorId);
  const batch = batches.find((b) => !done.has(b.id)) ?? batches.at(-1);
  const dish = state.dishes.find((d) => d.id === batch?.dishId);
  if (!batch || !dish) return null;
  return { kind: 'batch', id: batch.id, name: `${dish.name}, ${batch.label}` };
}

export function readingRoutes(deps: ApiDeps): Router {
  const { readings, cookouts, clock } = deps;
  const router = Router();

  router.get('/sensors', (_req, res) => {
    const nowMs = clock.nowMs();
    const state = cookouts.current();
    const views: SensorView[] = readings.sensors().map(({ id, label, last }) => ({
      id,
      label,
      lastValueC: last?.tempC ?? null,
      lastAtMs: last?.atMs ?? null,
      ageMs: last ? Math.max(0, nowMs - last.atMs) : null,
      quality: last?.quality ?? null,
      assignedTo: seatOf(id, state),
    }));
    res.json(views);
  });

  router.patch('/sensors/:id', (req, res) => {
    const { label } = parseBody(SensorPatchSchema, req.body);
    if (!readings.rename(req.params.id, label)) throw notFound('sensor');
    res.json({ id: req.params.id, label });
  });

  router.get('/readings', (req: Request, res) => {
    const { sensor, fromMs, toMs, points } = parseBody(QuerySchema, req.query);
    const to = toMs ?? clock.nowMs();
    const from = fromMs ?? to - DAY_MS;
    if (points !== undefined) {
      res.json({ sensor, points: readings.buckets(sensor, from, Math.max(from, to), points) });
      return;
    }
    const page = readings.page(sensor, from, to, PAGE);
    const lastMs = page.at(-1)?.atMs;
    const answer: RawReadings = {
      sensor,
      points: page.map((r) => [r.atMs, r.tempC, r.quality]),
      nextFromMs: page.length === PAGE && lastMs !== undefined ? lastMs + 1 : null,
    };
    res.json(answer);
  });

  router.get('/rejects', (_req, res) => {
    const views: RejectView[] = readings
      .rejects(REJECTS_SHOWN)
      .map(({ topic, receivedMs, reason, detail, payload }) => ({
        topic,
        receivedMs,
        reason,
        detail,
        payloadText: new TextDecoder().decode(payload),
      }));
    res.json(views);
  });

  return router;
}
