import { once } from 'node:events';
import { createServer } from 'node:http';
import { connectAsync } from 'mqtt';
import { Server } from 'socket.io';
import { ReadingPayloadSchema } from '../../server/contract/reading.ts';
import { answerQuestions } from './child.ts';
import { FeedQuestion } from './messages.ts';

/** The shortest way from a broker to screens: every value goes to every screen at once, nothing is kept or watched. */
async function start(brokerPort: number): Promise<number> {
  const http = createServer().listen(0, '127.0.0.1');
  await once(http, 'listening');
  const feed = new Server(http, { serveClient: false, perMessageDeflate: false });
  const client = await connectAsync(`mqtt://127.0.0.1:${brokerPort}`);
  client.on('message', (topic, payload) => {
    const { value, time } = ReadingPayloadSchema.parse(JSON.parse(payload.toString()));
    feed.emit('reading', [{ sensorId: topic, tempC: value, atMs: Number(time), quality: 1 }]);
  });
  await client.subscribeAsync('tongside/reading/#', { qos: 1 });
  const address = http.address();
  if (address === null || typeof address === 'string') throw new Error('no port');
  return address.port;
}

answerQuestions(async (message) => ({ port: await start(FeedQuestion.parse(message).brokerPort) }));
