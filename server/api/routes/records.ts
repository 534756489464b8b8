import { Router } from 'express';
import type { ApiDeps } from '../deps.ts';
import { notFound } from '../problem.ts';

export function recordRoutes(deps: ApiDeps): Router {
  const router = Router();

  router.get('/cookouts/:id/record.json', (req, res) => {
    const record = deps.record(req.params.id);
    if (!record) throw notFound('cookout');
    res.json(record);
  });

  router.get('/cookouts/:id/record.csv', (req, res) => {
    const lines = deps.recordCsv(req.params.id);
    if (!lines) throw notFound('cookout');
    res.type('text/csv; charset=utf-8; header=present');
    res.setHeader('Content-Disposition', `attachment; filename="tongside-${req.params.id}.csv"`);
    for (const line of lines) res.write(line);
    res.end();
  });

  return router;
}
