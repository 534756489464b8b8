import { connect, createServer, type AddressInfo, type Socket } from 'node:net';
import { once } from 'node:events';
import { onTestFinished } from 'vitest';

export type Wire = {
  url: string;
  /** First bytes of the packets that went to the broker on the connections since `cut`, in order. */
  sentTypes(): number[];
  /** Ends all connections at once, as a network does; new ones may be made. */
  cut(): void;
  connections: number;
};

/** A network that can be cut, between a client and the broker. Sees MQTT packets as long as each is small. */
export async function wireTo(brokerPort: number): Promise<Wire> {
  const open = new Set<Socket>();
  let sent: Buffer[] = [];
  const server = createServer((client) => {
    wire.connections += 1;
    const broker = connect(brokerPort, '127.0.0.1');
    client.on('data', (chunk) => sent.push(chunk));
    client.pipe(broker);
    broker.pipe(client);
    for (const [one, other] of [
      [client, broker],
      [broker, client],
    ] as const) {
      open.add(one);
      one.on('error', () => undefined); // cutting is what it is for
      one.on('close', () => {
        open.delete(one);
        other.destroy();
      });
    }
  }).listen(0, '127.0.0.1');
  await once(server, 'listening');
  const address: AddressInfo | string | null = server.address();
  if (address === null || typeof address === 'string') throw new Error('no port');
  const wire: Wire = {
    url: `mqtt://127.0.0.1:${address.port}`,
    connections: 0,
    sentTypes: () => typesOf(Buffer.concat(sent)),
    cut: () => {
      sent = [];
      for (const socket of open) socket.destroy();
    },
  };
  onTestFinished(() => {
    wire.cut();
    server.close();
  });
  return wire;
}

/** Walks over the packets: type and remaining length (MQTT 3.1.1, 2.2). */
function typesOf(bytes: Buffer): number[] {
  const types: number[] = [];
  let at = 0;
  while (at < bytes.length) {
    types.push((bytes[at] ?? 0) & 0xf0);
    let length = 0;
    let place = 1;
    let byte = 0x80;
    while ((byte & 0x80) !== 0) {
      at += 1;
      byte = bytes[at] ?? 0;
      length += (byte & 0x7f) * place;
      place *= 128;
    }
    at += 1 + length;
  }
  return types;
}
