import { describe, expect, it } from 'vitest';
import { call } from '../support/http.ts';
import { hasMosquitto, runMosquitto } from '../support/mosquitto.ts';
import { aDevice, aSource, send } from '../support/mqtt-source.ts';
import { runServer } from '../support/run-server.ts';
import { tempDir } from '../support/temp-dir.ts';
import { numbers, rest, START_MS, temps, timed } from '../support/numbered-payloads.ts';
import { until } from '../support/until.ts';

describe.runIf(hasMosquitto)('the link to the broker', () => {
  it(
    'comes back after the broker was killed, with what the broker kept, and the gap is told',
    { timeout: 90_000 },
    async () => {
      const broker = await runMosquitto({ memory: 'kept' });
      const s = aSource(broker);
      s.source.start();
      await s.up();
      const device = await aDevice(broker);
      await send(device, 'k', '1');
      await until('the first', () => (s.stored('k').length === 1 ? true : null));
      await broker.saved();
      const goneMs = Date.now();
      await broker.end('SIGKILL');
      await until('the loss', () => (s.source.status().isUp ? null : true));
      await rest(1_500);
      await broker.startAgain();
      await s.up();
      await send(device, 'k', '2');
      await until('the second', () => (s.stored('k').length === 2 ? true : null), 15_000);
      expect(temps(s.stored('k'))).toEqual([1, 2]);
      expect(s.outages.map((o) => o.kind)).toEqual(['broker-lost']);
      expect(s.outages[0]?.fromMs).toBeGreaterThanOrEqual(goneMs);
      expect(s.outages[0]?.fromMs).toBeLessThan(goneMs + 1_000);
    },
  );

  it('tells a gap when the broker has forgotten the session, and readings go on', async () => {
    const broker = await runMosquitto({ memory: 'lost' });
    const s = aSource(broker);
    s.source.start();
    await s.up();
    const goneMs = Date.now();
    await broker.end('SIGTERM');
    await broker.startAgain();
    await s.up();
    const device = await aDevice(broker);
    await send(device, 'l', '1');
    await until('the reading', () => (s.stored('l').length === 1 ? true : null));
    expect(s.outages.map((o) => o.kind)).toEqual(['session-lost']);
    const [gap] = s.outages;
    expect(Math.abs((gap?.fromMs ?? 0) - goneMs)).toBeLessThan(2_000);
    expect(gap?.toMs).toBeGreaterThan(gap?.fromMs ?? Infinity);
  });

  it(
    'is made more and more rarely while the store fails, and all is stored once it works',
    { timeout: 90_000 },
    async () => {
      const broker = await runMosquitto();
      let broken = true;
      const s = aSource(broker, {
        beforeCommit: () => {
          if (broken) throw new Error('disk full');
        },
      });
      s.source.start();
      await s.up();
      const device = await aDevice(broker);
      await Promise.all(numbers(1, 20).map((n) => send(device, 's', timed(n))));
      await until('four connections', () => (s.connects.length >= 4 ? true : null), 30_000);
      const gapsS = s.connects.slice(1).map((at, i) => (at - (s.connects[i] ?? at)) / 1_000);
      expect(s.stored('s')).toEqual([]);
      expect(gapsS[1]).toBeGreaterThan(2);
      expect(gapsS[2]).toBeGreaterThan(4);
      broken = false;
      await until('all', () => (s.stored('s').length >= 20 ? true : null), 40_000);
      expect(temps(s.stored('s'))).toEqual(numbers(1, 20));
    },
  );

  it(
    'lives through commits of 50 ms in a flood and in silence: pings are not held back for long',
    { timeout: 60_000 },
    async () => {
      const broker = await runMosquitto();
      const s = aSource(broker, {
        keepaliveS: 2,
        beforeCommit: () => {
          const end = performance.now() + 50;
          while (performance.now() < end);
        },
      });
      s.source.start();
      await s.up();
      const device = await aDevice(broker);
      let sent = 0;
      const startMs = performance.now();
      while (performance.now() - startMs < 6_000) {
        const next = numbers(sent + 1, sent + 10);
        sent += next.length;
        await Promise.all(next.map((n) => send(device, 'slow', `{"value":4,"time":${START_MS + n}}`)));
        await rest(10);
      }
      await until('all of it', () => (s.stored('slow').length >= sent ? true : null), 20_000);
      await rest(5_000);
      expect(sent).toBeGreaterThan(500);
      expect(s.stored('slow')).toHaveLength(sent);
      expect(s.connects).toHaveLength(1);
      expect(s.source.status().isUp).toBe(true);
    },
  );

  it(
    'is not fought over by two programs with one client id: one keeps it, and the other says so',
    { timeout: 60_000 },
    async () => {
      const broker = await runMosquitto();
      const [a, b] = [aSource(broker), aSource(broker)];
      a.source.start();
      await a.up();
      b.source.start();
      const loser = await until(
        'one to give way',
        () => [a, b].find((s) => s.source.status().detail.includes('client id tongside-test')) ?? null,
        30_000,
      );
      await rest(3_000);
      const before = a.connects.length + b.connects.length;
      await rest(5_000);
      expect(a.connects.length + b.connects.length).toBe(before);
      expect(before).toBeLessThan(12);
      const winner = loser === a ? b : a;
      expect(loser.source.status().isUp).toBe(false);
      const device = await aDevice(broker);
      await send(device, 'one', '4');
      await until('the reading', () => (winner.stored('one').length === 1 ? true : null));
      expect(loser.stored('one')).toEqual([]);
    },
  );

  it('says that the broker refuses us, and is there once it does not', { timeout: 60_000 }, async () => {
    const broker = await runMosquitto({ allowAnonymous: false });
    const s = aSource(broker);
    s.source.start();
    const { detail } = await until('the refusal', () => {
      const status = s.source.status();
      return /Not authorized/i.test(status.detail) ? status : null;
    });
    expect(detail).toContain('no connection to');
    await broker.end('SIGTERM');
    await broker.startAgain({ allowAnonymous: true });
    await s.up();
    expect(s.source.status().detail).toBe(`connected to ${broker.url}`);
  });
});

describe.runIf(hasMosquitto)('the whole server on an external broker', () => {
  it('stores the 5,000 readings that came while it was down', { timeout: 90_000 }, async () => {
    const broker = await runMosquitto();
    const env = { TONGSIDE_DATA_DIR: tempDir(), TONGSIDE_BROKER_URL: broker.url };
    const up = async (httpUrl: string) =>
      until('the link', async () => {
        const { body } = await call<{ checks: Record<string, { ok: boolean }> }>(`${httpUrl}/api/health`);
        return body.checks['broker']?.ok === true ? true : null;
      });
    const first = await runServer(env);
    await up(first.httpUrl);
    await first.kill();
    const device = await aDevice(broker);
    const total = 5_000;
    const startMs = Date.now() - total;
    for (let n = 0; n < total; n += 500) {
      await Promise.all(
        numbers(n, n + 499).map((i) =>
          send(device, 'd', `{"value":${(i % 900) / 10},"time":${startMs + i}}`),
        ),
      );
    }
    const second = await runServer(env);
    await until(
      'all of them',
      async () => {
        const { body } = await call<string>(`${second.httpUrl}/metrics`);
        return body.includes(`tongside_readings_accepted_total ${total}\n`) ? true : null;
      },
      40_000,
    );
    const { body } = await call<string>(`${second.httpUrl}/metrics`);
    expect(body).not.toContain('tongside_outages_total');
  });

  it(
    'records a gap when the broker lost its memory, also over a restart of both',
    { timeout: 90_000 },
    async () => {
      const broker = await runMosquitto({ memory: 'lost' });
      const env = { TONGSIDE_DATA_DIR: tempDir(), TONGSIDE_BROKER_URL: broker.url };
      const lost = 'tongside_outages_total{kind="session-lost"} 1\n';
      const metrics = async (httpUrl: string) => (await call<string>(`${httpUrl}/metrics`)).body;
      const up = (httpUrl: string) =>
        until('the link', async () =>
          (await metrics(httpUrl)).includes('tongside_broker_up 1\n') ? true : null,
        );
      const first = await runServer(env);
      await up(first.httpUrl);
      expect(await metrics(first.httpUrl)).not.toContain('tongside_outages_total');
      await first.stop();
      await broker.end('SIGTERM');
      await broker.startAgain();
      const second = await runServer(env);
      await up(second.httpUrl);
      expect(await metrics(second.httpUrl)).toContain(lost);
    },
  );
});
