import { Router, type Response } from 'express';
import { rateLimit } from 'express-rate-limit';
import { LoginSchema, PassphraseSchema } from '../../contract/api.ts';
import { SESSION_COOKIE, SESSION_MS } from '../access.ts';
import type { ApiDeps } from '../deps.ts';
import { HttpProblem, parseBody, sendProblem } from '../problem.ts';

const TRIES = 10;
const WINDOW_MS = 10 * 60_000;

function setCookie(res: Response, value: string, maxAgeMs: number): void {
  res.cookie(SESSION_COOKIE, value, { httpOnly: true, sameSite: 'strict', path: '/', maxAge: maxAgeMs });
}

export function accessRoutes({ access, mqttUrl }: ApiDeps): Router {
  const router = Router();
  const slow = rateLimit({
    windowMs: WINDOW_MS,
    limit: TRIES,
    skipSuccessfulRequests: true,
    standardHeaders: true,
    legacyHeaders: false,
    handler: (_req, res) => sendProblem(res, new HttpProblem(429, 'Too many tries. Wait ten minutes')),
  });

  router.get('/access', (req, res) => void res.json(access.view(req, Date.now(), mqttUrl())));

  router.post('/access/login', slow, (req, res) => {
    const { passphrase } = parseBody(LoginSchema, req.body);
    const session = access.login(passphrase, Date.now());
    if (session === null) {
      throw new HttpProblem(403, 'That is not the passphrase', [
        { field: 'passphrase', message: 'not the right one' },
      ]);
    }
    setCookie(res, session, SESSION_MS);
    res.json(access.view(req, Date.now(), mqttUrl()));
  });

  router.post('/access/logout', (req, res) => {
    setCookie(res, '', 0);
    res.json(access.view(req, Date.now(), mqttUrl()));
  });

  router.post('/access/passphrase', slow, (req, res) => {
    if (!access.isOpen(req, Date.now())) throw new HttpProblem(401, 'Enter the passphrase first');
    const { passphrase } = parseBody(PassphraseSchema, req.body);
    access.setPassphrase(passphrase);
    const session = access.login(passphrase, Date.now());
    if (session !== null) setCookie(res, session, SESSION_MS);
    res.json(access.view(req, Date.now(), mqttUrl()));
  });

  return router;
}
