import { once } from 'node:events';
import { connectAsync, type MqttClient } from 'mqtt';
import { describe, expect, it, onTestFinished } from 'vitest';
import type { Health, RejectView } from '../../server/contract/api.ts';
import type { SensorView } from '../../server/contract/probe.ts';
import { call } from '../support/http.ts';
import { hasMosquitto, runMosquitto } from '../support/mosquitto.ts';
import { connectBytes, publishBytes } from '../support/mqtt-packets.ts';
import { isClosed, rawConnection } from '../support/raw-mqtt.ts';
import { runServer, type ServerProcess } from '../support/run-server.ts';
import { tempDir } from '../support/temp-dir.ts';
import { until } from '../support/until.ts';

/** The caps of the broker and of the sensors: limits.ts and sensor-cap.ts. */
const NEW_SENSORS = 64;
const PER_S = 5_000;
const BURST = 10_000;

async function aServer(env: Record<string, string> = {}): Promise<ServerProcess & { mqttPort: number }> {
  const server = await runServer({ TONGSIDE_DATA_DIR: tempDir(), ...env });
  return { ...server, mqttPort: Number(new URL(server.mqttUrl).port) };
}
async function aDevice(url: string, clientId?: string): Promise<MqttClient> {
  const device = await connectAsync(url, clientId === undefined ? {} : { clientId });
  onTestFinished(() => void device.end(true));
  return device;
}
const health = async ({ httpUrl }: ServerProcess) => call<Health>(`${httpUrl}/api/health`);
async function metric({ httpUrl }: ServerProcess, sample: string): Promise<number | null> {
  const { body } = await call<string>(`${httpUrl}/metrics`);
  const line = body.split('\n').find((text) => text.startsWith(`${sample} `));
  return line === undefined ? null : Number(line.slice(sample.length));
}

describe('the guards of the whole server', () => {
  it('take 64 new sensors from one device, say of the others that they are too many, and go on with the rest', async () => {
    const server = await aServer();
    const board = await aDevice(server.mqttUrl, 'board');
    for (let n = 0; n < NEW_SENSORS + 6; n += 1) {
      await board.publishAsync(`tongside/reading/made-up-${n}`, '4', { qos: 1 });
    }
    const other = await aDevice(server.mqttUrl, 'other');
    await other.publishAsync('tongside/reading/real', '63', { qos: 1 });
    await board.publishAsync('tongside/reading/made-up-0', '5', { qos: 1 });
    const sensors = (await call<SensorView[]>(`${server.httpUrl}/api/sensors`)).body;
    expect(sensors).toHaveLength(NEW_SENSORS + 1);
    expect(sensors.find((s) => s.id === 'made-up-0')?.lastValueC).toBe(5);
    const rejects = (await call<RejectView[]>(`${server.httpUrl}/api/rejects`)).body;
    expect(rejects.map((r) => r.reason)).toEqual(rejects.map(() => 'too-many-sensors'));
    expect(rejects).toHaveLength(6);
    expect(await metric(server, 'tongside_payloads_rejected_total{reason="too-many-sensors"}')).toBe(6);
    expect(await metric(server, 'tongside_messages_total{outcome="readings"}')).toBe(NEW_SENSORS + 2);
    expect(await metric(server, 'tongside_messages_total{outcome="rejected"}')).toBe(6);
  });

  it('know the sensors of before over a restart', async () => {
    const dataDir = tempDir();
    const first = await aServer({ TONGSIDE_DATA_DIR: dataDir });
    const board = await aDevice(first.mqttUrl, 'board');
    for (let n = 0; n < NEW_SENSORS; n += 1) {
      await board.publishAsync(`tongside/reading/s${n}`, '4', { qos: 1 });
    }
    await first.stop();
    const second = await aServer({ TONGSIDE_DATA_DIR: dataDir });
    const again = await aDevice(second.mqttUrl, 'board');
    await again.publishAsync('tongside/reading/s3', '5', { qos: 1 });
    await again.publishAsync('tongside/reading/new', '5', { qos: 1 });
    const sensors = (await call<SensorView[]>(`${second.httpUrl}/api/sensors`)).body;
    expect(sensors).toHaveLength(NEW_SENSORS + 1);
    expect(await metric(second, 'tongside_readings_accepted_total')).toBe(2);
  });

  it(
    'slow down a device that sends without end, name it in health and metrics, and lose nothing of it',
    { timeout: 60_000 },
    async () => {
      const server = await aServer();
      const sent = BURST + 3 * PER_S;
      const name = 'loud "1"\\\n';
      const loud = await rawConnection(server.mqttPort);
      loud.write(connectBytes(name));
      await once(loud, 'data');
      const startMs = performance.now();
      const nowMs = Date.now();
      const bytes = Array.from({ length: sent }, (_, n) =>
        publishBytes('tongside/reading/loud', `{"value":4,"time":${nowMs - sent + n}}`),
      );
      loud.write(Buffer.concat(bytes));
      const named = await until('its name', async () => {
        const { body, status } = await health(server);
        return body.checks['clients']?.ok === false ? { body, status } : null;
      });
      expect(named.status).toBe(200);
      expect(named.body.status).toBe('degraded');
      expect(named.body.checks['clients']?.detail).toContain('read more slowly: loud "1"');
      const quiet = await aDevice(server.mqttUrl, 'quiet');
      const quietMs = performance.now();
      await quiet.publishAsync('tongside/reading/quiet', '63', { qos: 1 });
      expect(performance.now() - quietMs).toBeLessThan(2_000);
      await until(
        'all of it',
        async () => ((await metric(server, 'tongside_readings_accepted_total')) === sent + 1 ? true : null),
        40_000,
      );
      // 64 kB, some 900 of these messages, pass whole before the wait for them begins
      expect(performance.now() - startMs).toBeGreaterThan(((sent - BURST - 1_000) / PER_S) * 1_000);
      // the text format's escapes: backslash, quotation mark, line feed (Prometheus, "Text-based format")
      const label = '{client="loud \\"1\\"\\\\\\n"}';
      expect(await metric(server, `tongside_client_slowed_seconds_total${label}`)).toBeGreaterThan(0);
      expect(await metric(server, 'tongside_clients_slowed')).toBe(1);
      expect(await metric(server, 'tongside_payloads_rejected_total')).toBeNull();
    },
  );

  it('end a connection that claims a packet of 256 MB, and readings go on', async () => {
    const server = await aServer();
    const bad = await rawConnection(server.mqttPort);
    bad.write(connectBytes('bad'));
    await once(bad, 'data');
    bad.write(Buffer.from([0x30, 0xff, 0xff, 0xff, 0x7f]));
    expect(await isClosed(bad, 5_000)).toBe(true);
    const good = await aDevice(server.mqttUrl);
    await good.publishAsync('tongside/reading/good', '63', { qos: 1 });
    expect(await metric(server, 'tongside_readings_accepted_total')).toBe(1);
    expect((await health(server)).body.status).toBe('ok');
    const { body } = await call<RejectView[]>(`${server.httpUrl}/api/rejects`);
    expect(body).toMatchObject([
      { reason: 'too-large', detail: expect.stringContaining('from bad,') as string },
    ]);
  });

  it('say of two devices with one client id that they are two', async () => {
    const server = await aServer();
    for (let n = 0; n < 4; n += 1) {
      const socket = await rawConnection(server.mqttPort);
      socket.write(connectBytes('twin'));
      await once(socket, 'data');
    }
    const { body, status } = await health(server);
    expect(status).toBe(200);
    expect(body.checks['clients']).toEqual({
      ok: false,
      detail: '1 connected; two devices use the same client id: twin',
    });
    expect(await metric(server, 'tongside_clients_sharing_an_id')).toBe(1);
  });

  it('tell what the machine has left: disk, size of the data, delay of the loop', async () => {
    const server = await aServer();
    const free = await until('the free space', () => metric(server, 'tongside_disk_free_bytes'));
    expect(free).toBeGreaterThan(0);
    expect(await metric(server, 'tongside_data_bytes')).toBeGreaterThan(4_096);
    expect(await metric(server, 'tongside_event_loop_delay_seconds{stat="max"}')).toBeGreaterThanOrEqual(0);
    expect(await metric(server, 'tongside_storing')).toBe(1);
    const { body } = await health(server);
    expect(body.checks['disk']?.detail).toMatch(/^\d+ MB free$/);
  });

  it.runIf(hasMosquitto)(
    'end at 500 sensors in all behind an external broker',
    { timeout: 60_000 },
    async () => {
      const broker = await runMosquitto();
      const server = await aServer({ TONGSIDE_BROKER_URL: broker.url });
      await until('the link', async () => ((await metric(server, 'tongside_broker_up')) === 1 ? true : null));
      const board = await aDevice(broker.url);
      for (let n = 0; n < 520; n += 40) {
        await Promise.all(
          Array.from({ length: 40 }, (_, i) =>
            board.publishAsync(`tongside/reading/s${n + i}`, '4', { qos: 1 }),
          ),
        );
      }
      await until('all of them', async () =>
        (await metric(server, 'tongside_payloads_rejected_total{reason="too-many-sensors"}')) === 20
          ? true
          : null,
      );
      expect(await metric(server, 'tongside_readings_accepted_total')).toBe(500);
    },
  );
});
