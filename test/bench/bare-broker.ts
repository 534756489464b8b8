import { createServer } from 'node:net';
import { once } from 'node:events';
import { Aedes } from 'aedes';
import { answerQuestions } from './child.ts';
import { CounterQuestion } from './messages.ts';
import { Tally } from './tally.ts';

const tally = new Tally();

/** The embedded broker's library by itself: every publish is acknowledged at once. */
async function start(): Promise<number> {
  const broker = await Aedes.createBroker();
  broker.authorizePublish = (_client, _packet, done) => {
    tally.count();
    done(null);
  };
  const server = createServer((socket) => void broker.handle(socket)).listen(0, '127.0.0.1');
  await once(server, 'listening');
  const address = server.address();
  if (address === null || typeof address === 'string') throw new Error('no port');
  return address.port;
}

answerQuestions(async (message) => {
  const question = CounterQuestion.parse(message);
  return question.do === 'reach'
    ? tally.reach(question.messages, question.withinMs)
    : { port: await start() };
});
