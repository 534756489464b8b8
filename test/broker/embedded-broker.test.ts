import { once } from 'node:events';
import { Server } from 'node:net';
import { connectAsync, type IClientOptions, type MqttClient } from 'mqtt';
import { describe, expect, it, onTestFinished, vi } from 'vitest';
import {
  EmbeddedBroker,
  type BrokerPacket,
  type EmbeddedBrokerOptions,
  type RefusedPacket,
} from '../../server/broker/embedded-broker.ts';
import { connectBytes, publishBytes, subscribeBytes } from '../support/mqtt-packets.ts';
import { isClosed, rawConnection } from '../support/raw-mqtt.ts';
import { silentLog } from '../support/silent-log.ts';
import { until } from '../support/until.ts';

type Taken = { packet: BrokerPacket; done: (error: Error | null) => void };

/** A broker on a free port; by default every message is on disk at once. */
async function aBroker(options: Partial<EmbeddedBrokerOptions> = {}) {
  const taken: BrokerPacket[] = [];
  const broker = new EmbeddedBroker({
    bind: '127.0.0.1',
    port: 0,
    user: null,
    password: null,
    log: silentLog,
    take: (packet, done) => {
      taken.push(packet);
      setImmediate(done, null);
    },
    ...options,
  });
  const port = await broker.start();
  onTestFinished(() => broker.stop());
  const client = async (more: IClientOptions = {}): Promise<MqttClient> => {
    const c = await connectAsync(`mqtt://127.0.0.1:${port}`, { reconnectPeriod: 0, ...more });
    c.on('error', () => undefined); // being thrown out is what some of these tests are about
    onTestFinished(() => void c.end(true));
    return c;
  };
  return { broker, port, client, taken };
}

const gone = (client: MqttClient): Promise<void> => new Promise((resolve) => client.once('close', resolve));

async function heardBy(client: MqttClient, filter: string): Promise<string[]> {
  const heard: string[] = [];
  client.on('message', (topic) => heard.push(topic));
  await client.subscribeAsync(filter, { qos: 1 });
  return heard;
}

describe('the embedded broker', () => {
  it('acknowledges a reading only when it is on disk', async () => {
    const waiting: Taken[] = [];
    const { client } = await aBroker({ take: (packet, done) => waiting.push({ packet, done }) });
    let acknowledged = false;
    const probe = await client();
    const published = probe
      .publishAsync('tongside/reading/a', '4', { qos: 1 })
      .then(() => (acknowledged = true));
    const { done } = await until('the message', () => waiting[0] ?? null);
    await new Promise((resolve) => setTimeout(resolve, 100));
    expect(acknowledged).toBe(false);
    done(null);
    expect(await published).toBe(true);
  });

  it('acknowledges nothing that could not be stored: the connection ends, and the sender sends it again', async () => {
    const { client } = await aBroker({ take: (_packet, done) => setImmediate(done, new Error('disk full')) });
    const probe = await client();
    const closed = gone(probe);
    let acknowledged = false;
    probe.publish('tongside/reading/a', '4', { qos: 1 }, (error) => (acknowledged = !error));
    await closed;
    expect(acknowledged).toBe(false);
  });

  it('goes on when its server reports an error, however often, and tells of it', async () => {
    const listen = vi.spyOn(Server.prototype, 'listen');
    onTestFinished(() => listen.mockRestore());
    const told: string[] = [];
    const log = { ...silentLog, error: (_fields: object, message: string) => told.push(message) };
    const { broker, client } = await aBroker({ log });
    const [server] = listen.mock.contexts as Server[];
    for (let i = 0; i < 3; i += 1) server?.emit('error', new Error('accept EMFILE'));
    expect(told).toHaveLength(3);
    expect(broker.isListening).toBe(true);
    await (await client()).publishAsync('tongside/reading/a', '4', { qos: 1 });
  });

  it('does not start on a port that another program has', async () => {
    const { port } = await aBroker();
    const second = new EmbeddedBroker({
      bind: '127.0.0.1',
      port,
      user: null,
      password: null,
      take: () => undefined,
      log: silentLog,
    });
    await expect(second.start()).rejects.toThrow('EADDRINUSE');
  });

  it('keeps a retained message for those who come later, and forgets it when it is cleared', async () => {
    const { client, taken } = await aBroker();
    const device = await client();
    await device.publishAsync('kitchen/state', 'online', { qos: 1, retain: true });
    const heard = await heardBy(await client(), 'kitchen/#');
    await until('the retained message', () => (heard.length === 1 ? true : null));
    await device.publishAsync('kitchen/state', '', { qos: 1, retain: true });
    const later = await heardBy(await client(), 'kitchen/#');
    await device.publishAsync('kitchen/other', 'x', { qos: 1 });
    await until('the live message', () => (later.length > 0 ? true : null));
    expect(later).toEqual(['kitchen/other']);
    expect(taken.map((p) => p.topic)).toEqual(['kitchen/state', 'kitchen/state', 'kitchen/other']);
  });

  it('keeps no more retained messages than fit, and passes the others on all the same', async () => {
    const { client } = await aBroker({ limits: { retained: 3 } });
    const device = await client();
    const live = await heardBy(await client(), 'r/#');
    for (const n of [1, 2, 3, 4, 5]) await device.publishAsync(`r/${n}`, 'x', { qos: 1, retain: true });
    const later = await heardBy(await client(), 'r/#');
    await until('the retained messages', () => (later.length >= 3 ? true : null));
    await device.publishAsync('r/last', 'x', { qos: 1 });
    await until('the last message', () =>
      later.includes('r/last') && live.includes('r/last') ? true : null,
    );
    expect(later.toSorted()).toEqual(['r/1', 'r/2', 'r/3', 'r/last']);
    expect(live).toEqual(['r/1', 'r/2', 'r/3', 'r/4', 'r/5', 'r/last']);
  });

  it('takes the will of a device that went without a word like any message, and none of one that said goodbye', async () => {
    const { client, taken } = await aBroker();
    const will = (topic: string) => ({
      topic,
      payload: Buffer.from('offline'),
      qos: 1 as const,
      retain: false,
    });
    const polite = await client({ clientId: 'polite', will: will('state/polite') });
    await polite.endAsync();
    const rude = await client({ clientId: 'rude', will: will('state/rude') });
    rude.stream.destroy();
    await until('the will', () => (taken.length > 0 ? true : null));
    expect(taken.map((p) => [p.topic, p.sender, p.packetId])).toEqual([['state/rude', 'rude', null]]);
  });

  it('lets nobody else publish its own topics', async () => {
    const { client, taken } = await aBroker();
    for (const topic of ['$SYS/x/heartbeat', '$other', 'tongside/alarm']) {
      const liar = await client();
      const closed = gone(liar);
      liar.publish(topic, 'x', { qos: 1 });
      await closed;
    }
    expect(taken).toEqual([]);
  });

  it('says which client id two devices use at once', async () => {
    const { broker, client } = await aBroker();
    for (let n = 0; n < 3; n += 1) {
      await client({ clientId: 'probe' });
      await client({ clientId: 'other' + String(n) });
    }
    expect(broker.news().shared).toEqual([]);
    await client({ clientId: 'probe' });
    expect(broker.news().shared).toEqual(['probe']);
  });
});

describe('the guards of the embedded broker', () => {
  it('ends a connection whose packet claims more than 16 kB by its header alone, and no other', async () => {
    const { port, client, taken } = await aBroker();
    const good = await client();
    const bad = await rawConnection(port);
    bad.write(connectBytes('bad'));
    await once(bad, 'data');
    // a length of 268,435,455, the greatest there is: MQTT 3.1.1 table 2.4
    bad.write(Buffer.from([0x30, 0xff, 0xff, 0xff, 0x7f]));
    expect(await isClosed(bad, 2_000)).toBe(true);
    await good.publishAsync('tongside/reading/a', 'x'.repeat(12_000), { qos: 1 });
    expect(taken.map((p) => p.payload.length)).toEqual([12_000]);
  });

  it('tells once whose packet was too large, how large, and its topic', async () => {
    const refused: RefusedPacket[] = [];
    const { client } = await aBroker({ onRefused: (packet) => refused.push(packet) });
    for (let n = 0; n < 2; n += 1) {
      const camera = await client({ clientId: 'camera' });
      const closed = gone(camera);
      camera.publish('garden/picture', 'x'.repeat(20_000), { qos: 1 });
      await closed;
    }
    // 1 type + 3 length + 2 + 14 topic + 2 packet id + payload: MQTT 3.1.1, 3.3
    expect(refused).toEqual([{ client: 'camera', bytes: 20_022, topic: 'garden/picture' }]);
  });

  it('ends a connection with a length that no packet can have, and one that does not begin with CONNECT', async () => {
    const { port } = await aBroker();
    for (const bytes of [
      [0x10, 0xff, 0xff, 0xff, 0xff, 0xff],
      [...publishBytes('tongside/reading/a', '4')],
      [...Buffer.from('GET / HTTP/1.1\r\n\r\n')],
    ]) {
      const socket = await rawConnection(port);
      socket.write(Buffer.from(bytes));
      expect(await isClosed(socket, 2_000)).toBe(true);
    }
  });

  it('ends a connection on which nobody says who they are', async () => {
    const { port } = await aBroker({ limits: { connectWithinMs: 200 } });
    expect(await isClosed(await rawConnection(port), 2_000)).toBe(true);
  });

  it('turns connections away beyond the greatest number, counts them, and has room again when one goes', async () => {
    const { broker, port, client } = await aBroker({ limits: { clients: 2 } });
    const [first] = [await client(), await client()];
    expect(await isClosed(await rawConnection(port), 2_000)).toBe(true);
    expect(broker.news()).toMatchObject({ clients: 2, turnedAway: 1 });
    await first.endAsync();
    await until('room', async () => {
      const socket = await rawConnection(port);
      socket.write(connectBytes('third'));
      return (await isClosed(socket, 300)) ? null : true;
    });
  });

  it('takes client ids of up to 128 characters', async () => {
    const { port, client } = await aBroker();
    await client({ clientId: 'x'.repeat(128) });
    const socket = await rawConnection(port);
    socket.write(connectBytes('x'.repeat(129)));
    expect(await isClosed(socket, 2_000)).toBe(true);
  });

  it('ends a connection that publishes on a topic of more levels than anyone needs', async () => {
    const { client, taken } = await aBroker({ limits: { topicLevels: 8 } });
    const deep = await client();
    const closed = gone(deep);
    await deep.publishAsync('a/b/c/d/e/f/g/h', '1', { qos: 1 });
    deep.publish('a/b/c/d/e/f/g/h/i', '1', { qos: 1 });
    await closed;
    expect(taken).toHaveLength(1);
  });

  it('refuses more subscriptions of one connection than it needs, and counts each filter once', async () => {
    const { client } = await aBroker({ limits: { subscriptions: 2 } });
    const lamp = await client();
    const granted = async (filter: string) => {
      const [answer] = await lamp.subscribeAsync(filter, { qos: 0 }).catch(() => []);
      return answer?.qos ?? 128;
    };
    expect([await granted('a'), await granted('a'), await granted('b')]).toEqual([0, 0, 0]);
    expect(await granted('c')).toBe(128);
    await lamp.unsubscribeAsync('a');
    expect(await granted('c')).toBe(0);
  });

  it('reads a client that sends too much more slowly, drops nothing of it, names it, and lets the others through', async () => {
    const [perS, burst, sent] = [2_000, 1_000, 5_000];
    const { broker, port, client, taken } = await aBroker({ limits: { messagesPerS: perS, burst } });
    const quiet = await client({ clientId: 'quiet' });
    const loud = await rawConnection(port);
    loud.write(connectBytes('loud'));
    await once(loud, 'data');
    const texts = Array.from({ length: sent }, (_, n) => String(n).padEnd(100));
    const startMs = performance.now();
    loud.write(Buffer.concat(texts.map((text) => publishBytes('loud', text))));
    await until('the first of them', () => (taken.length > 0 ? true : null));
    const quietStartMs = performance.now();
    await quiet.publishAsync('quiet', '1', { qos: 1 });
    const quietMs = performance.now() - quietStartMs;
    const fromLoud = () => taken.filter((p) => p.topic === 'loud');
    await until('all of them', () => (fromLoud().length >= sent ? true : null), 20_000);
    const tookMs = performance.now() - startMs;
    expect(fromLoud().map((p) => Buffer.from(p.payload).toString())).toEqual(texts);
    expect(broker.news().slowed.map((s) => s.client)).toEqual(['loud']);
    // what a socket reads at once passes whole before the wait for it begins: 64 kB are some 600 of these messages
    expect(tookMs).toBeGreaterThan(((sent - burst - 650) / perS) * 1_000);
    expect(broker.news().slowedEver[0]?.slowedMs).toBeGreaterThan(1_000);
    expect(quietMs).toBeLessThan(1_000);
  });

  it(
    'drops a listener that takes nothing any more, so that it holds up nobody',
    { timeout: 30_000 },
    async () => {
      const { port, client, taken } = await aBroker({ limits: { drainWithinMs: 500 } });
      const asleep = await rawConnection(port);
      asleep.write(connectBytes('asleep'));
      await once(asleep, 'data');
      asleep.write(subscribeBytes('#'));
      await once(asleep, 'data');
      asleep.pause();
      const probe = await client();
      const sent = 1_000;
      const payload = 'x'.repeat(12_000); // 12 MB in all: more than the buffers of a local connection hold
      for (let n = 0; n < sent; n += 50) {
        await Promise.all(
          Array.from({ length: 50 }, () => probe.publishAsync('tongside/reading/a', payload, { qos: 1 })),
        );
      }
      expect(taken).toHaveLength(sent);
      expect(await isClosed(asleep, 2_000)).toBe(true);
    },
  );
});
