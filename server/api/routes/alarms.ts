import { Router } from 'express';
import { AcknowledgeSchema } from '../../contract/api.ts';
import type { ApiDeps } from '../deps.ts';
import { notFound, parseBody } from '../problem.ts';

export function alarmRoutes(deps: ApiDeps): Router {
  const router = Router();

  router.get('/alarms', (_req, res) => void res.json(deps.live.alarms()));

  router.post('/alarms/:id/acknowledge', (req, res) => {
    const { note } = parseBody(AcknowledgeSchema, req.body ?? {});
    const alarm = deps.live.acknowledge(req.params.id, note ?? '');
    if (!alarm) throw notFound('open alarm');
    res.json(alarm);
  });

  return router;
}
