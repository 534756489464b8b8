import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import express from 'express';
import { describe, expect, it, onTestFinished } from 'vitest';
import type { Problem } from '../../server/contract/api.ts';
import { problemHandler } from '../../server/api/problem.ts';
import { silentLog } from '../support/silent-log.ts';

/** A server that takes JSON at /echo and fails with `failure` at /fail. */
async function serve(failure: Error = new Error('inside')) {
  const logged: string[] = [];
  const log = { ...silentLog, error: (_fields: object, message: string) => logged.push(message) };
  const app = express();
  app.use(express.json({ limit: '1kb' }));
  app.post('/echo', (req, res) => void res.json(req.body));
  app.get('/fail', () => {
    throw failure;
  });
  app.use(problemHandler({ log, isStoreFault: () => false }));
  const server = createServer(app);
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  onTestFinished(() => void server.close());
  const base = `http://127.0.0.1:${(server.address() as AddressInfo).port}`;
  const ask = async (path: string, init?: RequestInit): Promise<Problem> => {
    const answer = await fetch(`${base}${path}`, init);
    expect(answer.headers.get('content-type')).toContain('application/problem+json');
    return (await answer.json()) as Problem;
  };
  const send = (body: string, headers: Record<string, string>) =>
    ask('/echo', { method: 'POST', body, headers: { 'content-type': 'application/json', ...headers } });
  return { logged, ask, send };
}

describe('a request that goes wrong', () => {
  it.each<[what: string, status: number, headers: Record<string, string>]>([
    ['a packing that it does not have', 400, { 'content-encoding': 'gzip' }],
    ['a packing that nobody knows', 415, { 'content-encoding': 'own' }],
    ['a character set that nobody knows', 415, { 'content-type': 'application/json; charset=foo' }],
  ])(
    'is the fault of who sends a body with %s, and no error of the server',
    async (_what, status, headers) => {
      const { send, logged } = await serve();
      const problem = await send('{"name":"a"}', headers);
      expect(problem.status).toBe(status);
      expect(problem.title).toContain('body');
      expect(logged).toEqual([]);
    },
  );

  it('is the fault of who sends what is no JSON, or too much of it', async () => {
    const { send, logged } = await serve();
    expect((await send('{', {})).status).toBe(400);
    expect((await send(JSON.stringify('x'.repeat(2_000)), {})).status).toBe(413);
    expect(logged).toEqual([]);
  });

  it.each(['ENOSPC', 'EDQUOT', 'EROFS', 'EACCES', 'EIO'])(
    'says that it cannot be kept just now when a file cannot be written: %s',
    async (code) => {
      const { ask, logged } = await serve(
        Object.assign(new Error(`${code}: write`), { code, syscall: 'write' }),
      );
      const problem = await ask('/fail');
      expect(problem).toMatchObject({ status: 503 });
      expect(problem.title).toContain('cannot be kept');
      expect(logged).toHaveLength(1);
    },
  );

  it('is an error of the server in every other case, told without its inside', async () => {
    const { ask, logged } = await serve();
    const problem = await ask('/fail');
    expect(problem.status).toBe(500);
    expect(JSON.stringify(problem)).not.toContain('inside');
    expect(logged).toHaveLength(1);
  });
});
