import { io, type Socket } from 'socket.io-client';
import { ReadingsEventSchema } from '../../server/contract/live-events.ts';
import { answerQuestions } from './child.ts';
import { ScreensQuestion } from './messages.ts';

let delaysMs: number[] = [];
let events = 0;

/** How old each value is when it reaches a screen, by the time in it: sender and screens share one wall clock. */
function hear(message: unknown): void {
  events += 1;
  const nowMs = Date.now();
  for (const { atMs } of ReadingsEventSchema.parse(message)) delaysMs.push(nowMs - atMs);
}

async function open(url: string): Promise<Socket> {
  const socket = io(url, { transports: ['websocket'], forceNew: true });
  socket.on('reading', hear);
  await new Promise<void>((resolve, reject) => {
    socket.once('connect', () => resolve());
    socket.once('connect_error', reject);
  });
  return socket;
}

answerQuestions(async (message) => {
  const question = ScreensQuestion.parse(message);
  if (question.do === 'open')
    await Promise.all(Array.from({ length: question.screens }, () => open(question.url)));
  const collected = { events, delaysMs };
  delaysMs = [];
  events = 0;
  return collected;
});
