import { describe, expect, it } from 'vitest';
import type { Done } from '../../server/ingest/group-commit.ts';
import type { Packet } from '../../server/ingest/intake.ts';
import type { Message } from '../../server/ingest/message.ts';
import { call } from '../support/http.ts';
import { hasMosquitto, runMosquitto } from '../support/mosquitto.ts';
import { aDevice, aSource, send } from '../support/mqtt-source.ts';
import { runServer } from '../support/run-server.ts';
import { tempDir } from '../support/temp-dir.ts';
import { until } from '../support/until.ts';
import { wireTo } from '../support/wire.ts';

const PUBACK = 0x40;
const START_MS = Date.now() - 600_000;
const rest = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));

/** A payload with a time of its own, a millisecond later for each number. */
const timed = (n: number): string => `{"value":${n},"time":${START_MS + n}}`;
const temps = (rows: { tempC: number }[]): number[] => rows.map((r) => r.tempC);
const numbers = (from: number, to: number): number[] =>
  Array.from({ length: to - from + 1 }, (_, i) => from + i);

describe.runIf(hasMosquitto)('what the broker sends', () => {
  it('is stored once each and in order when the store fails once, after one reconnect', async () => {
    const broker = await runMosquitto();
    let failures = 1;
    const committed: number[] = [];
    const s = aSource(broker, {
      afterCommit: (intakes) => committed.push(...intakes.flatMap((i) => temps(i.readings))),
      beforeCommit: (intakes) => {
        const hasSecond = intakes.some((i) => i.readings.some((r) => r.tempC === 2));
        if (hasSecond && failures > 0) {
          failures -= 1;
          throw new Error('disk full');
        }
      },
    });
    s.source.start();
    await s.up();
    const device = await aDevice(broker);
    await Promise.all(numbers(1, 5).map((n) => send(device, 'm', timed(n))));
    await until('all five', () => (s.stored('m').length >= 5 ? true : null), 15_000);
    await rest(300);
    expect(temps(s.stored('m'))).toEqual([1, 2, 3, 4, 5]);
    expect(committed).toEqual([1, 2, 3, 4, 5]);
    expect(s.connects).toHaveLength(2);
    expect(s.group.isStoring).toBe(true);
  });

  it('is one reading when the link is cut between the commit and the acknowledgement, also without a time of its own', async () => {
    const broker = await runMosquitto();
    const wire = await wireTo(broker.port);
    let cuts = 1;
    let commits = 0;
    const s = aSource(wire, {
      afterCommit: () => {
        commits += 1;
        if (cuts > 0) wire.cut();
        cuts = 0;
      },
    });
    s.source.start();
    await s.up();
    const device = await aDevice(broker);
    await send(device, 'bare', '63.5');
    await until('the second delivery', () => (commits >= 2 ? true : null), 15_000);
    await rest(200);
    expect(temps(s.stored('bare'))).toEqual([63.5]);
    expect(s.connects).toHaveLength(2);
  });

  it.each([
    { how: 'which holds the next message back', room: false },
    { how: 'which lets the next message in', room: true },
  ])('is not acknowledged on the next connection by a late answer $how', async ({ room }) => {
    const broker = await runMosquitto();
    const wire = await wireTo(broker.port);
    const answers: Done[] = [];
    const repeats: boolean[] = [];
    const s = aSource(wire, {
      take: ({ isRepeat }: Packet, done) => {
        repeats.push(isRepeat);
        answers.push(done);
        return room;
      },
    });
    s.source.start();
    await s.up();
    const device = await aDevice(broker);
    await send(device, 'late', '4');
    await until('the message', () => (answers.length === 1 ? true : null));
    wire.cut();
    await until('it again', () => (answers.length === 2 ? true : null), 15_000);
    expect(repeats).toEqual([false, true]);
    answers[0]?.(null);
    await rest(300);
    expect(wire.sentTypes()).not.toContain(PUBACK);
    answers[1]?.(null);
    await until('the acknowledgement', () => (wire.sentTypes().includes(PUBACK) ? true : null));
  });

  it('is acknowledged and kept to look at when nobody can understand it, and the next one is stored', async () => {
    const broker = await runMosquitto();
    const wire = await wireTo(broker.port);
    const s = aSource(wire);
    s.source.start();
    await s.up();
    const device = await aDevice(broker);
    await send(device, 'p', '{"value":');
    await send(device, 'p', '5');
    await until('the next', () => (s.stored('p').length === 1 ? true : null));
    await until('both answers', () => {
      const acks = wire.sentTypes().filter((type) => type === PUBACK).length;
      return acks === 2 ? true : null;
    });
    expect(s.rejects()).toHaveLength(1);
  });

  it('does not stop when handling one message fails over a fault of ours; that one comes again', async () => {
    const broker = await runMosquitto();
    const wire = await wireTo(broker.port);
    let faults = 1;
    const taken: string[] = [];
    const s = aSource(wire, {
      take: (packet, done) => {
        const text = Buffer.from(packet.payload).toString();
        if (text === '1' && faults > 0) {
          faults -= 1;
          throw new TypeError('a fault of ours');
        }
        taken.push(text);
        setImmediate(done, null);
        return true;
      },
    });
    s.source.start();
    await s.up();
    const device = await aDevice(broker);
    await send(device, 'f', '1');
    await send(device, 'f', '2');
    await until('the next', () => (taken.length === 1 ? true : null));
    expect(taken).toEqual(['2']);
    wire.cut();
    await until('it again', () => (taken.length === 2 ? true : null), 15_000);
    expect(taken).toEqual(['2', '1']);
  });

  it('and kept while nobody was there is stored on the next connection', async () => {
    const broker = await runMosquitto();
    let kept: string | null = null;
    const memory = { read: () => kept, write: (text: string) => (kept = text) };
    const first = aSource(broker, { memory });
    first.source.start();
    await first.up();
    await first.source.stop();
    const device = await aDevice(broker);
    for (const n of [1, 2, 3]) await send(device, 'q', timed(n));
    const second = aSource(broker, { memory });
    second.source.start();
    await until('all three', () => (second.stored('q').length === 3 ? true : null));
    expect(temps(second.stored('q'))).toEqual([1, 2, 3]);
    expect(second.outages).toEqual([]);
  });

  it('is suspect when it had been retained: an old number is never a live one; clearing it gives no reading', async () => {
    const broker = await runMosquitto();
    const device = await aDevice(broker);
    await device.publishAsync('tongside/reading/old', '63.5', { qos: 1, retain: true });
    const s = aSource(broker);
    s.source.start();
    await s.up();
    const [old] = await until('the retained one', () => {
      const rows = s.stored('old');
      return rows.length > 0 ? rows : null;
    });
    expect(old).toMatchObject({ tempC: 63.5, quality: 3 });
    await device.publishAsync('tongside/reading/old', '', { qos: 1, retain: true });
    await send(device, 'old', '64');
    await until('the live one', () => (s.stored('old').length === 2 ? true : null));
    expect(s.stored('old').map((r) => [r.tempC, r.quality])).toEqual([
      [63.5, 3],
      [64, 1],
    ]);
  });

  it('is only what has not expired while we were away', async () => {
    const broker = await runMosquitto();
    const s = aSource(broker);
    s.source.start();
    await s.up();
    await s.source.stop();
    const device = await aDevice(broker, { protocolVersion: 5 });
    for (const [payload, messageExpiryInterval] of [
      ['1', 1],
      ['2', 100],
    ] as const) {
      const properties = { messageExpiryInterval };
      await device.publishAsync('tongside/reading/x', payload, { qos: 1, properties });
    }
    await rest(2_300);
    const again = aSource(broker);
    again.source.start();
    await until('the second', () => (again.stored('x').length > 0 ? true : null));
    await rest(300);
    expect(temps(again.stored('x'))).toEqual([2]);
  });

  it('comes with its user properties', async () => {
    const broker = await runMosquitto();
    const packets: Packet[] = [];
    const s = aSource(broker, {
      take: (packet, done) => {
        packets.push(packet);
        setImmediate(done, null);
        return true;
      },
    });
    s.source.start();
    await s.up();
    const device = await aDevice(broker, { protocolVersion: 5 });
    const userProperties = { probe: 'left', tag: ['a', 'b'] };
    await device.publishAsync('tongside/reading/x', '4', { qos: 1, properties: { userProperties } });
    const [packet] = await until('it', () => (packets.length > 0 ? packets : null));
    expect({ ...packet?.userProperties }).toEqual(userProperties);
  });
});

describe.runIf(hasMosquitto)('the topics that are read', () => {
  it('may change while the server runs, and over a restart what is gone is given up', async () => {
    const broker = await runMosquitto();
    let kept: string | null = null;
    const memory = { read: () => kept, write: (text: string) => (kept = text) };
    const topics: string[] = [];
    const take = (packet: Packet, done: Done): boolean => {
      topics.push(packet.topic);
      setImmediate(done, null);
      return true;
    };
    const s = aSource(broker, { memory, take, filters: ['a/#', 'b/#'] });
    s.source.start();
    await s.up();
    const device = await aDevice(broker);
    const tell = async (...names: string[]) => {
      for (const name of names) await device.publishAsync(name, '1', { qos: 1 });
      await rest(200);
    };
    await tell('a/1', 'b/1', 'c/1');
    expect(topics).toEqual(['a/1', 'b/1']);
    s.source.setFilters(['b/#', 'c/#']);
    await until('the new filters', () => (kept?.includes('c/#') === true ? true : null));
    await rest(200);
    await tell('a/2', 'b/2', 'c/2');
    expect(topics).toEqual(['a/1', 'b/1', 'b/2', 'c/2']);
    await s.source.stop();
    const next = aSource(broker, { memory, take, filters: ['c/#'] });
    next.source.start();
    await next.up();
    await rest(200);
    await tell('b/3', 'c/3');
    expect(topics.slice(4)).toEqual(['c/3']);
  });

  it('bring one copy of a message that two filters match, and nothing that no filter matches', async () => {
    const broker = await runMosquitto();
    const topics: string[] = [];
    const s = aSource(broker, {
      filters: ['a/+/c', 'a/b/+'],
      take: (packet, done) => {
        topics.push(packet.topic);
        setImmediate(done, null);
        return true;
      },
    });
    s.source.start();
    await s.up();
    const device = await aDevice(broker);
    for (const topic of ['a/b/c', 'a/x/y', 'a/x/c', 'a/b/x'])
      await device.publishAsync(topic, '1', { qos: 1 });
    await until('the last', () => (topics.includes('a/b/x') ? true : null));
    expect(topics).toEqual(['a/b/c', 'a/x/c', 'a/b/x']);
  });

  it('leave others, which are told of, retained ones too, and no more a second than a person can look at', async () => {
    const broker = await runMosquitto();
    const device = await aDevice(broker);
    await device.publishAsync('kitchen/oven', '180', { qos: 1, retain: true });
    const heard: Message[] = [];
    const s = aSource(broker);
    s.source.start();
    await s.up();
    s.source.listenFor((message) => heard.push(message));
    await until('the retained one', () => (heard.length > 0 ? true : null));
    expect(heard).toMatchObject([{ topic: 'kitchen/oven', retained: true }]);
    await rest(1_100);
    await send(device, 'ours', '4');
    s.source.publishAlarms('{}');
    for (let n = 0; n < 300; n += 1) await device.publishAsync('kitchen/flood', String(n), { qos: 0 });
    await device.publishAsync('end', '1', { qos: 1 });
    await until('all to be counted', () =>
      heard.length + s.source.status().onlyCounted >= 302 ? true : null,
    );
    expect(new Set(heard.map((m) => m.topic))).toEqual(new Set(['kitchen/oven', 'kitchen/flood']));
    expect(heard.length).toBeLessThanOrEqual(151);
    await until('ours', () => (s.stored('ours').length === 1 ? true : null));
  });
});

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
