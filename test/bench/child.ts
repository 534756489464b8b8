import { fork, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import * as z from 'zod/mini';
import type { Scope } from './scope.ts';

const ReplySchema = z.union([
  z.strictObject({ ok: z.literal(true), value: z.unknown() }),
  z.strictObject({ ok: z.literal(false), error: z.string() }),
]);

/** A program of the bench in its own process, which is asked one thing after the other. */
export class Child {
  private readonly child: ChildProcess;
  private busy: Promise<unknown> = Promise.resolve();

  constructor(scope: Scope, program: URL) {
    this.child = fork(program, {
      execArgv: ['--import', 'tsx'],
      stdio: ['ignore', 'ignore', 'inherit', 'ipc'],
    });
    scope.adopt(this.child);
  }

  get pid(): number {
    return this.child.pid ?? Number.NaN;
  }

  /** Sends a question; the answer must have the shape. */
  ask<T extends z.ZodMiniType>(shape: T, question: Record<string, unknown>): Promise<z.infer<T>> {
    const answer = this.busy.then(async (): Promise<z.infer<T>> => {
      const heard = once(this.child, 'message').then(([message]: unknown[]) => message);
      const gone = once(this.child, 'exit').then(() => Promise.reject(new Error('the process ended')));
      gone.catch(() => undefined); // it also ends in good order, long after the answer
      this.child.send(question);
      const reply = ReplySchema.parse(await Promise.race([heard, gone]));
      if (!reply.ok) throw new Error(reply.error);
      return shape.parse(reply.value);
    });
    this.busy = answer.catch(() => undefined);
    return answer;
  }
}

/** The other end: answers every question, and ends when nobody is there to ask. */
export function answerQuestions(answer: (question: unknown) => Promise<unknown>): void {
  const reply = (message: z.infer<typeof ReplySchema>): void => void process.send?.(message);
  process.on('message', (question) => {
    answer(question).then(
      (value) => reply({ ok: true, value }),
      (error: unknown) =>
        reply({ ok: false, error: error instanceof Error ? (error.stack ?? error.message) : String(error) }),
    );
  });
  process.on('disconnect', () => process.exit());
}
