import { Router, type Request } from 'express';
import * as z from 'zod/mini';
import type { RawReadings, RejectView } from '../../contract/api.ts';
import type { ApiDeps } from '../deps.ts';
import { parseBody } from '../problem.ts';

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

export function readingRoutes(deps: ApiDeps): Router {
  const { readings, clock } = deps;
  const router = Router();

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
