import { describe, expect, it } from 'vitest';
import type { CookoutDetail, CookoutRecord, Problem } from '../../server/contract/api.ts';
import { RecordSchema } from '../../server/contract/api.ts';
import { connectAsync } from 'mqtt';
import { call, post } from '../support/http.ts';
import { runServer } from '../support/run-server.ts';
import { tempDir } from '../support/temp-dir.ts';
import { until } from '../support/until.ts';

type Made = { id: string };

async function aSupper(
  api: string,
): Promise<{ cookoutId: string; dishId: string; batchId: string; placeId: string }> {
  const cookout = await post<Made & { serves: Made[] }>(`${api}/cookouts`, {
    name: 'Test supper',
    ruleSet: 'uk',
    guests: 20,
    serves: [{ atMs: Date.now() + 3_600_000 }],
  });
  const cookoutId = cookout.body.id;
  const place = await post(`${api}/cookouts/${cookoutId}/places`, {
    kind: 'zone',
    name: 'Left side',
    heat: 'hot',
  });
  const dish = await post(`${api}/cookouts/${cookoutId}/dishes`, {
    name: 'Chicken thighs',
    food: 'chicken',
    shape: 'slab',
    thicknessMm: 26,
    targetC: 75,
    restMin: 5,
  });
  const batch = await post(`${api}/dishes/${dish.body.id}/batches`, {
    pieces: 12,
    sensorId: 'core',
    placeId: place.body.id,
    serveId: cookout.body.serves[0]?.id,
  });
  return { cookoutId, dishId: dish.body.id, batchId: batch.body.id, placeId: place.body.id };
}

describe('the API', () => {
  it('names every field that is wrong, in problem details (RFC 9457)', async () => {
    const { httpUrl } = await runServer({ TONGSIDE_DATA_DIR: tempDir() });
    const bad = await post<Problem>(`${httpUrl}/api/cookouts`, {
      name: ' ',
      ruleSet: 'mars',
      guests: -1,
      party: true,
    });
    expect(bad.status).toBe(400);
    expect(bad.headers.get('content-type')).toContain('application/problem+json');
    expect(bad.body.errors?.map((e) => e.field).sort()).toEqual(['guests', 'name', 'party', 'ruleSet']);
    const zone = await post<Problem>(`${httpUrl}/api/cookouts`, {
      name: 'A',
      ruleSet: 'uk',
      timeZone: 'Mars/Olympus',
    });
    expect(zone.body.errors?.[0]?.field).toBe('timeZone');
    const noJson = await fetch(`${httpUrl}/api/cookouts`, {
      method: 'POST',
      headers: { 'Content-Type': 'application/json' },
      body: '{',
    });
    expect(noJson.status).toBe(400);
    const form = await fetch(`${httpUrl}/api/cookouts`, {
      method: 'POST',
      body: new URLSearchParams({ name: 'A' }),
    });
    expect(form.status).toBe(415);
    expect((await call(`${httpUrl}/api/nothing`)).status).toBe(404);
  });

  it('sets a supper up, takes its steps in order and refuses the wrong order with a reason', async () => {
    const { httpUrl } = await runServer({ TONGSIDE_DATA_DIR: tempDir() });
    const api = `${httpUrl}/api`;
    const { cookoutId, batchId, placeId } = await aSupper(api);
    const served = await post<Problem>(`${api}/batches/${batchId}/steps`, { step: 'served' });
    expect(served).toMatchObject({ status: 409, body: { errors: [{ field: 'step' }] } });
    const on = await post<Made & { placeId: string; zone: string }>(`${api}/batches/${batchId}/steps`, {
      step: 'on',
    });
    expect(on).toMatchObject({ status: 201, body: { placeId, zone: 'hot' } });
    expect(
      (await post(`${api}/batches/${batchId}/steps`, { step: 'off', atMs: Date.now() - 60_000 })).status,
    ).toBe(409);
    expect(
      (await post(`${api}/batches/${batchId}/steps`, { step: 'off', atMs: Date.now() + 60_000 })).status,
    ).toBe(400);
    const detail = await call<CookoutDetail>(`${api}/cookouts/${cookoutId}`);
    expect(detail.body.batches[0]?.status).toBe('on');
    expect((await call(`${api}/batches/${batchId}`, { method: 'DELETE' })).status).toBe(409);
    expect((await call(`${api}/places/${placeId}`, { method: 'DELETE' })).status).toBe(409);
  });

  it('takes a step back within moments, and only the last one', async () => {
    const { httpUrl } = await runServer({ TONGSIDE_DATA_DIR: tempDir() });
    const api = `${httpUrl}/api`;
    const { cookoutId, batchId } = await aSupper(api);
    const on = await post(`${api}/batches/${batchId}/steps`, { step: 'on' });
    const turned = await post(`${api}/batches/${batchId}/steps`, { step: 'turned' });
    expect((await call(`${api}/steps/${on.body.id}`, { method: 'DELETE' })).status).toBe(409);
    expect((await call(`${api}/steps/${turned.body.id}`, { method: 'DELETE' })).status).toBe(204);
    expect((await call(`${api}/steps/${turned.body.id}`, { method: 'DELETE' })).status).toBe(404);
    const { body } = await call<CookoutDetail>(`${api}/cookouts/${cookoutId}`);
    expect(body.steps.map((s) => s.step)).toEqual(['on']);
  });

  it('keeps what belongs together together', async () => {
    const { httpUrl } = await runServer({ TONGSIDE_DATA_DIR: tempDir() });
    const api = `${httpUrl}/api`;
    const { cookoutId, dishId, batchId } = await aSupper(api);
    expect(
      (await post<Problem>(`${api}/dishes/${dishId}/batches`, { serveId: 'none' })).body.errors?.[0]?.field,
    ).toBe('serveId');
    expect((await call(`${api}/dishes/${dishId}`, { method: 'DELETE' })).status).toBe(409);
    const noServes = await call<Problem>(`${api}/cookouts/${cookoutId}`, {
      method: 'PATCH',
      body: { serves: [] },
    });
    expect(noServes.body.errors?.[0]?.field).toBe('serves');
    expect((await call(`${api}/batches/${batchId}`, { method: 'DELETE' })).status).toBe(204);
    expect((await call(`${api}/dishes/${dishId}`, { method: 'DELETE' })).status).toBe(204);
  });

  it('gives the record as JSON and the logged temperatures as CSV', async () => {
    const { httpUrl, mqttUrl } = await runServer({ TONGSIDE_DATA_DIR: tempDir() });
    const api = `${httpUrl}/api`;
    const { cookoutId, batchId } = await aSupper(api);
    await post(`${api}/batches/${batchId}/steps`, { step: 'on' });
    const probe = await connectAsync(mqttUrl);
    for (const value of [5, 6, 7])
      await probe.publishAsync('tongside/reading/core', String(value), { qos: 1 });
    await probe.endAsync();
    await post(`${api}/batches/${batchId}/spot-checks`, { tempC: 12.5, where: 'thickest, "left"' });
    const record = await until('the readings', async () => {
      const { body } = await call<CookoutRecord>(`${api}/cookouts/${cookoutId}/record.json`);
      return body.traces[0]?.points.length === 3 ? RecordSchema.parse(body) : null;
    });
    expect(record.traces[0]).toMatchObject({
      name: 'Chicken thighs, 1st',
      kind: 'cook',
      lowestC: 5,
      highestC: 7,
    });
    expect(record.steps.map((s) => [s.step, s.name])).toEqual([['on', 'Chicken thighs, 1st']]);
    expect(record.spotChecks[0]).toMatchObject({ tempC: 12.5 });
    const csv = await call<string>(`${api}/cookouts/${cookoutId}/record.csv`);
    expect(csv.headers.get('content-type')).toContain('text/csv');
    const lines = csv.body.split('\r\n').filter((line) => line !== '');
    expect(lines).toHaveLength(5);
    expect(lines.filter((line) => line.includes(',spot-check,'))).toHaveLength(1);
    expect((await call(`${api}/cookouts/none/record.csv`)).status).toBe(404);
  });

  it('answers for readings in buckets or one by one, and refuses a question without a sensor', async () => {
    const { httpUrl, mqttUrl } = await runServer({ TONGSIDE_DATA_DIR: tempDir() });
    const probe = await connectAsync(mqttUrl);
    const nowMs = Date.now();
    for (let i = 0; i < 20; i += 1) {
      await probe.publishAsync(
        'tongside/reading/core',
        JSON.stringify({ value: i, time: nowMs - (20 - i) * 1_000 }),
        { qos: 1 },
      );
    }
    await probe.endAsync();
    type Points = { points: number[][] };
    const raw = await call<Points>(`${httpUrl}/api/readings?sensor=core`);
    expect(raw.body.points).toHaveLength(20);
    const few = await call<Points>(
      `${httpUrl}/api/readings?sensor=core&fromMs=${nowMs - 20_000}&toMs=${nowMs}&points=5`,
    );
    expect(few.body.points.length).toBeLessThanOrEqual(5);
    expect(Math.max(...few.body.points.map((p) => p[2] ?? NaN))).toBe(19);
    const bad = await call<Problem>(`${httpUrl}/api/readings?points=0`);
    expect(bad.body.errors?.map((e) => e.field).sort()).toEqual(['points', 'sensor']);
  });
});
