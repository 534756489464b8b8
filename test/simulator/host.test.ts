import type { AddressInfo } from 'node:net';
import { createServer } from 'node:http';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { StepInputSchema } from '../../server/contract/steps.ts';
import { Host, listOf } from '../../simulator/host.ts';

const ANSWERS: Record<string, { status: number; body: string }> = {
  '/api/good': { status: 200, body: '[{"step":"on"}]' },
  '/api/other': { status: 200, body: '[{"step":"jumped"}]' },
  '/api/order': { status: 409, body: '{"title":"wrong order"}' },
  '/api/broken': { status: 200, body: '<html>' },
};
const server = createServer((request, response) => {
  const { status, body } = ANSWERS[request.url ?? ''] ?? { status: 404, body: '' };
  response.writeHead(status).end(body);
});
let host = new Host('http://127.0.0.1:9');
beforeAll(async () => {
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  host = new Host(`http://127.0.0.1:${String((server.address() as AddressInfo).port)}/`);
});
afterAll(() => server.close());

const STEPS = listOf(StepInputSchema);

describe('an answer of the server', () => {
  it('is read through the schema of the contract', async () => {
    expect(await host.get('/api/good', STEPS)).toEqual({ ok: true, value: [{ step: 'on' }] });
  });
  it('that does not fit the contract is no answer, and says where from', async () => {
    const answer = await host.get('/api/other', STEPS);
    expect(answer).toMatchObject({ ok: false, status: 200 });
    expect(answer.ok ? '' : answer.why).toContain('/api/other');
  });
  it('that refuses is told with its status and words, and is not an exception', async () => {
    expect(await host.post('/api/order', { step: 'on' })).toEqual({
      ok: false,
      status: 409,
      why: '{"title":"wrong order"}',
    });
  });
  it('that is no JSON, or no answer at all, is not an exception either', async () => {
    expect(await host.get('/api/broken', STEPS)).toMatchObject({ ok: false });
    expect(await new Host('http://127.0.0.1:9').get('/api/good', STEPS)).toMatchObject({
      ok: false,
      status: 0,
    });
  });
});
