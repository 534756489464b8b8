import type { AddressInfo, Server, Socket } from 'node:net';
import { createServer } from 'node:net';
import { Aedes } from 'aedes';
import { afterEach, describe, expect, it } from 'vitest';
import { Publisher } from '../../simulator/publisher.ts';
import type { Sample } from '../../simulator/sensors.ts';

type Heard = { topic: string; payload: string };
type Broker = { url: string; port: number; stop: () => Promise<void> };

const closers: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of closers.splice(0).toReversed()) await close();
});

/** A real broker that can be taken away in the middle, sockets and all. */
async function startBroker(heard: Heard[], port = 0): Promise<Broker> {
  const aedes = await Aedes.createBroker();
  const sockets = new Set<Socket>();
  const server: Server = createServer((socket) => {
    sockets.add(socket);
    socket.once('close', () => sockets.delete(socket));
    aedes.handle(socket);
  });
  aedes.on('publish', (packet, client) => {
    if (client !== null) heard.push({ topic: packet.topic, payload: packet.payload.toString() });
  });
  await new Promise<void>((resolve) => server.listen(port, '127.0.0.1', resolve));
  const stop = async (): Promise<void> => {
    for (const socket of sockets) socket.destroy();
    await new Promise<void>((resolve) => server.close(() => resolve()));
    await new Promise<void>((resolve) => aedes.close(() => resolve()));
  };
  const { port: bound } = server.address() as AddressInfo;
  return { url: `mqtt://127.0.0.1:${String(bound)}`, port: bound, stop };
}

function publisherTo(url: string): Publisher {
  const publisher = new Publisher({ url, user: null, password: null }, () => undefined);
  closers.push(() => publisher.close());
  return publisher;
}

function sample(number: number): Sample {
  return { sensor: 'core-pork', atMs: 1_764_000_000_000 + number * 5000, tempC: 63.5 };
}

describe('the publisher', () => {
  it('sends a reading as agreed: topic by sensor, value, unit and its own time', async () => {
    const heard: Heard[] = [];
    const broker = await startBroker(heard);
    closers.push(broker.stop);
    const publisher = publisherTo(broker.url);
    await publisher.send(sample(0), new AbortController().signal);
    expect(await publisher.flush(5000)).toBe(true);
    expect(heard).toEqual([
      { topic: 'tongside/reading/core-pork', payload: '{"value":63.5,"unit":"Cel","time":1764000000000}' },
    ]);
  });

  it('loses no reading when the broker is taken away three times in the middle', async () => {
    const heard: Heard[] = [];
    let broker = await startBroker(heard);
    const publisher = publisherTo(broker.url);
    const { signal } = new AbortController();
    const total = 6000;
    const sending = (async () => {
      for (let number = 0; number < total; number += 1) await publisher.send(sample(number), signal);
    })();
    for (const share of [0.1, 0.4, 0.7]) {
      while (heard.length < total * share) await new Promise((resolve) => setTimeout(resolve, 5));
      await broker.stop();
      broker = await startBroker(heard, broker.port);
    }
    closers.push(broker.stop);
    await sending;
    expect(await publisher.flush(10_000)).toBe(true);
    const times = new Set(heard.map(({ payload }) => (JSON.parse(payload) as { time: number }).time));
    expect(times.size).toBe(total);
  }, 30_000);

  it('keeps what it has while there is no broker, waits instead of overflowing, and gives up when told to', async () => {
    const publisher = publisherTo('mqtt://127.0.0.1:9');
    const stop = new AbortController();
    setTimeout(() => stop.abort(), 200);
    for (let number = 0; number < 4001; number += 1) await publisher.send(sample(number), stop.signal);
    expect(publisher.unacknowledged).toBe(4000);
    expect(publisher.acknowledged).toBe(0);
    expect(await publisher.flush(50)).toBe(false);
  });
});
