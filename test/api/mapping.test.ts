import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { existsSync, mkdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import express from 'express';
import { beforeEach, describe, expect, it, onTestFinished } from 'vitest';
import type { Problem } from '../../server/contract/api.ts';
import type { MappingAnswer, MappingTryAnswer } from '../../server/contract/mapping-api.ts';
import { MappingTryAnswerSchema } from '../../server/contract/mapping-api.ts';
import type { FoundTopic } from '../../server/contract/probe.ts';
import { FoundTopicSchema } from '../../server/contract/probe.ts';
import type { MappingDesk } from '../../server/api/mapping-desk.ts';
import { problemHandler } from '../../server/api/problem.ts';
import { mappingRoutes } from '../../server/api/routes/mapping.ts';
import { Found } from '../../server/ingest/found.ts';
import { MappingBook } from '../../server/ingest/mapping-book.ts';
import { call, post } from '../support/http.ts';
import { silentLog } from '../support/silent-log.ts';
import { tempDir } from '../support/temp-dir.ts';
import { DOCUMENT, RULE } from '../support/yard-rule.ts';

const NOW_MS = 1_760_000_000_000;

/** The routes over HTTP, with the real mapping and its file behind them. */
async function serve(dir: string): Promise<{ api: string; found: Found }> {
  const opened = MappingBook.open({ dataDir: dir, mappingPath: null });
  if (!opened.ok) throw new Error(opened.problems.join('\n'));
  const { book } = opened;
  const found = new Found((topic) => book.isKnown(topic));
  const desk: MappingDesk = {
    current: () => book.current(),
    save: (next) => book.save(next),
    try: (sample, mapping) => book.try({ ...sample, receivedMs: NOW_MS }, mapping),
    found: () => found.list(),
    forget: (topic) => found.forget(topic),
  };
  const app = express();
  app.use('/api', express.json(), mappingRoutes(desk));
  app.use(problemHandler({ log: silentLog, isStoreFault: () => false }));
  const server = createServer(app);
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  onTestFinished(() => void server.close());
  const { port } = server.address() as AddressInfo;
  return { api: `http://127.0.0.1:${port}/api`, found };
}

let dir = '';
beforeEach(() => {
  dir = tempDir();
});
const put = <T>(api: string, body: unknown) => call<T>(`${api}/mapping`, { method: 'PUT', body });

describe('the mapping over HTTP', () => {
  it('is without rules at first, is saved whole and is read back as it was written', async () => {
    const { api } = await serve(dir);
    const file = join(dir, 'mapping.json');
    expect((await call<MappingAnswer>(`${api}/mapping`)).body).toEqual({
      mapping: { version: 1, rules: [] },
      filePath: null,
    });
    const saved = await put<MappingAnswer>(api, DOCUMENT);
    expect(saved).toMatchObject({ status: 200, body: { mapping: DOCUMENT, filePath: file } });
    expect((await call<MappingAnswer>(`${api}/mapping`)).body.mapping).toEqual(DOCUMENT);
    expect(JSON.parse(readFileSync(file, 'utf8'))).toEqual(DOCUMENT);
  });

  it('that is wrong is refused with every problem at its path, and nothing is changed', async () => {
    const { api } = await serve(dir);
    await put(api, DOCUMENT);
    const bad = await put<Problem>(api, {
      version: 1,
      rules: [
        RULE,
        { ...RULE, id: 'other', values: [RULE.values[0], { quantity: 'temperature', unit: 'F' }] },
        RULE,
      ],
      typo: 1,
    });
    expect(bad.status).toBe(400);
    expect(bad.headers.get('content-type')).toContain('application/problem+json');
    expect(bad.body.errors?.map((e) => e.field).sort()).toEqual([
      'rules.1.values.1.unit',
      'rules.2.id',
      'typo',
    ]);
    expect((await put<Problem>(api, 'text')).status).toBe(400);
    expect((await call<MappingAnswer>(`${api}/mapping`)).body.mapping).toEqual(DOCUMENT);
    expect(JSON.parse(readFileSync(join(dir, 'mapping.json'), 'utf8'))).toEqual(DOCUMENT);
  });

  it('that cannot be written is an error, and the old one stays in force', async () => {
    const { api } = await serve(dir);
    mkdirSync(join(dir, 'mapping.json')); // in the way of the file
    const failed = await put<Problem>(api, DOCUMENT);
    expect(failed).toMatchObject({
      status: 500,
      body: { title: 'The server could not do it; nothing was changed' },
    });
    expect((await call<MappingAnswer>(`${api}/mapping`)).body).toEqual({
      mapping: { version: 1, rules: [] },
      filePath: null,
    });
  });
});

describe('a trial of a mapping', () => {
  it('says what would come of a message, and keeps nothing', async () => {
    const { api, found } = await serve(dir);
    const tried = await post<MappingTryAnswer>(`${api}/mapping/try`, {
      topic: 'yard/left',
      payloadText: '145.4',
      mapping: DOCUMENT,
    });
    expect(tried).toMatchObject({
      status: 200,
      body: {
        ruleId: 'yard',
        readings: [
          { sensorId: 'left', tempC: 63, atMs: NOW_MS, timeSource: 'arrival', quality: 1, reasons: [] },
        ],
        rejects: [],
      },
    });
    expect(MappingTryAnswerSchema.safeParse(tried.body).success).toBe(true);
    expect(existsSync(join(dir, 'mapping.json'))).toBe(false);
    expect(found.list()).toEqual([]);
    expect((await call<MappingAnswer>(`${api}/mapping`)).body.mapping.rules).toEqual([]);
  });

  it('takes bytes in hexadecimal, and says by name why a reading is not good', async () => {
    const { api } = await serve(dir);
    const mapping = {
      version: 1,
      rules: [{ ...RULE, values: [{ quantity: 'temperature', unit: 'Cel', valid: [0, 50] }] }],
    };
    const tried = await post<MappingTryAnswer>(`${api}/mapping/try`, {
      topic: 'yard/left',
      payloadHex: '36332e35',
      mapping,
    });
    expect(tried.body.readings).toMatchObject([{ tempC: 63.5, quality: 4, reasons: ['gross'] }]);
  });

  it('shows rejects and empty channels too', async () => {
    const { api } = await serve(dir);
    const attempt = async (payloadText: string) =>
      (
        await post<MappingTryAnswer>(`${api}/mapping/try`, {
          topic: 'yard/left',
          payloadText,
          mapping: DOCUMENT,
        })
      ).body;
    expect(await attempt('abc')).toMatchObject({
      rejects: [{ reason: 'not-a-number', detail: 'abc' }],
      readings: [],
    });
    expect(await attempt('nan')).toMatchObject({ unplugged: ['left'], rejects: [] });
  });

  it.each([
    [{ payloadText: '1', mapping: { version: 2, rules: [] } }, ['mapping.version']],
    [{ payloadText: '1' }, ['mapping']],
    [{ mapping: DOCUMENT }, ['payloadText']],
    [{ payloadText: '1', payloadHex: '31', mapping: DOCUMENT }, ['payloadText']],
    [{ payloadHex: 'xyz', mapping: DOCUMENT }, ['payloadHex']],
  ])('names what is wrong with what it was given: %j', async (body, fields) => {
    const { api } = await serve(dir);
    const bad = await post<Problem>(`${api}/mapping/try`, { topic: 'yard/left', ...body });
    expect(bad.status).toBe(400);
    expect(bad.body.errors?.map((e) => e.field)).toEqual(fields);
  });
});

describe('topics that were heard but not understood', () => {
  it('are listed, and forgotten one by one', async () => {
    const { api, found } = await serve(dir);
    for (const topic of ['shed/a', 'shed/b'])
      found.heard({
        topic,
        payload: new TextEncoder().encode('<b>5</b>'),
        receivedMs: NOW_MS,
        retained: false,
      });
    const listed = await call<FoundTopic[]>(`${api}/found`);
    expect(listed.body.map((f) => [f.topic, f.payloadText])).toEqual([
      ['shed/b', '<b>5</b>'],
      ['shed/a', '<b>5</b>'],
    ]);
    for (const topic of listed.body) expect(FoundTopicSchema.safeParse(topic).success).toBe(true);
    const forget = () => call(`${api}/found`, { method: 'DELETE', body: { topic: 'shed/b' } });
    expect([(await forget()).status, (await forget()).status]).toEqual([204, 404]);
    expect((await call<FoundTopic[]>(`${api}/found`)).body.map((f) => f.topic)).toEqual(['shed/a']);
  });
});
