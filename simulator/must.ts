import type { Answer } from './host.ts';

/** The server is away or in trouble: the same may work a little later. */
export class Unanswered extends Error {}

export function must<Value>(answer: Answer<Value>): Value {
  if (answer.ok) return answer.value;
  if (answer.status === 0 || answer.status >= 500) throw new Unanswered(answer.why);
  throw new Error(`the server answered ${String(answer.status)}: ${answer.why}`);
}
