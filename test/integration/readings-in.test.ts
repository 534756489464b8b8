import { connectAsync } from 'mqtt';
import { io } from 'socket.io-client';
import { describe, expect, it, onTestFinished } from 'vitest';
import type { RejectView } from '../../server/contract/api.ts';
import type { SensorView } from '../../server/contract/probe.ts';
import { BoardSchema, type Board } from '../../server/contract/board.ts';
import { call, post } from '../support/http.ts';
import { hasMosquitto, mosquittoPub, runMosquitto } from '../support/mosquitto.ts';
import { runServer } from '../support/run-server.ts';
import { tempDir } from '../support/temp-dir.ts';
import { until } from '../support/until.ts';

const WITHIN_MS = 1_000;
const BAD: [payload: string, reason: string][] = [
  ['', 'empty'],
  ['abc', 'not-a-number'],
  ['1e999', 'not-finite'],
  ['x'.repeat(10_000), 'too-large'],
  ['{"value":"63"}', 'wrong-json-type'],
  ['{"value":[63]}', 'wrong-json-type'],
];

async function sensor(httpUrl: string, id: string): Promise<SensorView | null> {
  const { body } = await call<SensorView[]>(`${httpUrl}/api/sensors`);
  return body.find((s) => s.id === id && s.lastValueC !== null) ?? null;
}

/** A screen that watches over a socket, as the tablet does. */
function watch(httpUrl: string): { newest: () => Board | null } {
  let board: Board | null = null;
  const socket = io(httpUrl, { transports: ['websocket'] });
  socket.on('board', (payload: unknown) => (board = BoardSchema.parse(payload)));
  onTestFinished(() => void socket.close());
  return { newest: () => board };
}

async function assignToBag(httpUrl: string, sensorId: string, sensorsSinceMs = Date.now()): Promise<void> {
  const cookout = await post(`${httpUrl}/api/cookouts`, { name: 'Garden test', ruleSet: 'uk' });
  await post(`${httpUrl}/api/cookouts/${cookout.body.id}/places`, {
    kind: 'cooler',
    name: 'Bag',
    sensorIds: [sensorId],
    sensorsSinceMs,
  });
}

async function goesThrough(
  httpUrl: string,
  publish: (topic: string, payload: string) => Promise<void> | void,
): Promise<void> {
  await publish('tongside/reading/left', '63.5');
  const seen = await until('the sensor', () => sensor(httpUrl, 'left'), WITHIN_MS);
  expect(seen).toMatchObject({ lastValueC: 63.5, quality: 1, assignedTo: null });
  expect(seen.ageMs).toBeLessThan(WITHIN_MS);

  const screen = watch(httpUrl);
  await assignToBag(httpUrl, 'left');
  await publish('tongside/reading/left', '4.5');
  const row = await until(
    'the row',
    () => screen.newest()?.rows.find((r) => r.tempC === 4.5) ?? null,
    WITHIN_MS,
  );
  expect(row).toMatchObject({ full: 'Bag', kind: 'cold', sensorId: 'left' });

  for (const [payload] of BAD) await publish('tongside/reading/bad', payload);
  const rejects = await until('the rejects', async () => {
    const { body } = await call<RejectView[]>(`${httpUrl}/api/rejects`);
    return body.length >= BAD.length ? body : null;
  });
  expect(rejects.map((r) => r.reason).reverse()).toEqual(BAD.map(([, reason]) => reason));
  await publish('tongside/reading/after', '70');
  expect(await until('the next reading', () => sensor(httpUrl, 'after'), WITHIN_MS)).toMatchObject({
    lastValueC: 70,
  });
}

describe('a reading on its way in', () => {
  it('goes through the embedded broker to the sensor list and the screen within a second, and bad ones stop nothing', async () => {
    const server = await runServer({ TONGSIDE_DATA_DIR: tempDir() });
    const probe = await connectAsync(server.mqttUrl);
    onTestFinished(() => probe.endAsync());
    await goesThrough(server.httpUrl, async (topic, payload) => {
      await probe.publishAsync(topic, payload, { qos: 1 });
    });
    expect(await server.stop()).toBe(0);
  });

  it.runIf(hasMosquitto)('goes through mosquitto in the same way', async () => {
    const broker = await runMosquitto();
    const server = await runServer({ TONGSIDE_DATA_DIR: tempDir(), TONGSIDE_BROKER_URL: broker.url });
    await until('the link to the broker', async () => {
      const { body } = await call<{ status: string }>(`${server.httpUrl}/api/health`);
      return body.status === 'ok' ? true : null;
    });
    await goesThrough(server.httpUrl, (topic, payload) => mosquittoPub(broker.port, topic, payload));
  });

  it('is answered on the alarm topic by a retained summary for any lamp or horn', async () => {
    const server = await runServer({ TONGSIDE_DATA_DIR: tempDir() });
    await assignToBag(server.httpUrl, 'bag', Date.now() - 600_000);
    const probe = await connectAsync(server.mqttUrl);
    onTestFinished(() => probe.endAsync());
    const nowMs = Date.now();
    for (const s of [180, 120, 60, 0]) {
      await probe.publishAsync(
        'tongside/reading/bag',
        JSON.stringify({ value: 12, time: nowMs - s * 1_000 }),
        { qos: 1 },
      );
    }
    await until('the alarm', async () =>
      (await call<unknown[]>(`${server.httpUrl}/api/alarms`)).body.length > 0 ? true : null,
    );
    const lamp = await connectAsync(server.mqttUrl);
    onTestFinished(() => lamp.endAsync());
    const heard = new Promise<string>((resolve) =>
      lamp.once('message', (_topic, payload) => resolve(payload.toString())),
    );
    await lamp.subscribeAsync('tongside/alarm');
    expect(JSON.parse(await heard)).toEqual({ highest: 'unsafe', unacknowledged: 1, count: 1 });
  });
});
