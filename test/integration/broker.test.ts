import { describe, expect, it } from 'vitest';
import type { Done } from '../../server/ingest/group-commit.ts';
import type { Packet } from '../../server/ingest/intake.ts';
import type { Message } from '../../server/ingest/message.ts';
import { hasMosquitto, runMosquitto } from '../support/mosquitto.ts';
import { aDevice, aSource, send } from '../support/mqtt-source.ts';
import { numbers, rest, temps, timed } from '../support/numbered-payloads.ts';
import { until } from '../support/until.ts';
import { wireTo } from '../support/wire.ts';

const PUBACK = 0x40;
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
