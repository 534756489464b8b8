import { connect } from 'mqtt';
import { answerQuestions } from './child.ts';
import { CounterQuestion } from './messages.ts';
import { Tally } from './tally.ts';

const tally = new Tally();

/** A subscriber at QoS 1 that does nothing and sets no limit: what the road itself can carry. */
async function start(port: number): Promise<void> {
  const client = connect(`mqtt://127.0.0.1:${port}`, {
    protocolVersion: 5,
    clientId: 'does-nothing',
    clean: false,
    manualConnect: true,
    properties: { sessionExpiryInterval: 600 },
  });
  client.handleMessage = (_packet, done) => {
    tally.count();
    done();
  };
  const connected = new Promise<void>((resolve, reject) => {
    client.once('connect', () => resolve());
    client.once('error', reject);
  });
  client.connect();
  await connected;
  await client.subscribeAsync('tongside/reading/#', { qos: 1 });
}

answerQuestions(async (message) => {
  const question = CounterQuestion.parse(message);
  if (question.do === 'reach') return tally.reach(question.messages, question.withinMs);
  await start(question.port);
  return { port: question.port };
});
