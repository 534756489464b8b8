import { join } from 'node:path';
import express, { type Express, type RequestHandler } from 'express';
import helmet from 'helmet';
import { isOwnOrigin } from './access.ts';
import type { ApiDeps } from './deps.ts';
import { HttpProblem, problemHandler } from './problem.ts';
import { accessRoutes } from './routes/access.ts';
import { alarmRoutes } from './routes/alarms.ts';
import { batchRoutes } from './routes/batches.ts';
import { cookoutRoutes } from './routes/cookouts.ts';
import { dishRoutes } from './routes/dishes.ts';
import { mappingRoutes } from './routes/mapping.ts';
import { placeRoutes } from './routes/places.ts';
import { readingRoutes } from './routes/readings.ts';
import { recordRoutes } from './routes/records.ts';
import { sensorRoutes } from './routes/sensors.ts';
import { stepRoutes } from './routes/steps.ts';

const BODY_LIMIT = '64kb';
/** The largest mapping there may be, with room for how it is laid out. */
const MAPPING_LIMIT = '512kb';
const CHANGING = new Set(['POST', 'PATCH', 'PUT']);

/** Plain http on a field's network: nothing may ask the browser for https, and nothing comes from elsewhere. */
const headers = helmet({
  strictTransportSecurity: false,
  crossOriginOpenerPolicy: false,
  originAgentCluster: false,
  contentSecurityPolicy: {
    useDefaults: false,
    directives: {
      defaultSrc: ["'self'"],
      connectSrc: ["'self'", 'ws:', 'wss:'],
      imgSrc: ["'self'", 'data:'],
      styleSrc: ["'self'", "'unsafe-inline'"],
      objectSrc: ["'none'"],
      baseUri: ["'self'"],
      formAction: ["'self'"],
      frameAncestors: ["'none'"],
    },
  },
});

const ownOriginOnly: RequestHandler = (req, _res, next) => {
  if (!isOwnOrigin(req)) throw new HttpProblem(403, 'This address is not one of the server');
  next();
};

const jsonOnly: RequestHandler = (req, _res, next) => {
  if (CHANGING.has(req.method) && req.is('application/json') === false) {
    throw new HttpProblem(415, 'Send JSON (Content-Type: application/json)');
  }
  next();
};

function openOnly({ access }: ApiDeps): RequestHandler {
  return (req, _res, next) => {
    if (!access.isOpen(req, Date.now())) throw new HttpProblem(401, 'Enter the passphrase first');
    next();
  };
}

export function createApp(deps: ApiDeps): Express {
  const app = express();
  app.disable('x-powered-by');
  app.use(headers, ownOriginOnly);
  app.use('/api/mapping', jsonOnly, express.json({ limit: MAPPING_LIMIT }));
  app.use('/api', jsonOnly, express.json({ limit: BODY_LIMIT }));
  app.get('/api/health', (_req, res) => {
    const health = deps.health();
    res.status(health.checks['storing']?.ok === false ? 503 : 200).json(health);
  });
  app.use('/api', accessRoutes(deps), openOnly(deps));
  app.get(
    '/metrics',
    openOnly(deps),
    (_req, res) => void res.type('text/plain; version=0.0.4').send(deps.metrics()),
  );
  app.get('/api/board', (_req, res) => void res.json(deps.live.board()));
  app.use('/api', cookoutRoutes(deps), placeRoutes(deps), dishRoutes(deps), batchRoutes(deps));
  app.use(
    '/api',
    stepRoutes(deps),
    sensorRoutes(deps),
    readingRoutes(deps),
    mappingRoutes(deps.mapping),
    alarmRoutes(deps),
    recordRoutes(deps),
  );
  app.use('/api', () => {
    throw new HttpProblem(404, 'No such address');
  });
  app.use('/assets', express.static(join(deps.webDir, 'assets'), { immutable: true, maxAge: '1y' }));
  app.use(express.static(deps.webDir));
  app.use(() => {
    throw new HttpProblem(404, 'No such address');
  });
  app.use(problemHandler(deps));
  return app;
}
