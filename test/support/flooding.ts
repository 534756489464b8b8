import { fork, type ChildProcess } from 'node:child_process';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import * as z from 'zod/mini';

const KilledSchema = z.strictObject({
  said: z.literal('killed'),
  busy: z.boolean(),
  /** Messages of the flood that were sent and not acknowledged. */
  inFlight: z.number(),
  /** Since any of its messages was acknowledged. */
  ackedAgoMs: z.number(),
  /** Since the server last acknowledged to an external broker; null with the embedded one. */
  serverWroteAgoMs: z.nullable(z.number()),
  /** The external broker has sent it something that it has not answered. */
  serverOwes: z.boolean(),
});
const ReportSchema = z.strictObject({
  said: z.literal('report'),
  offered: z.number(),
  runningMs: z.number(),
  resent: z.number(),
  sensors: z.array(z.strictObject({ id: z.string(), sent: z.number(), acked: z.number() })),
});
const ReadySchema = z.strictObject({ said: z.literal('ready'), watchedPort: z.nullable(z.number()) });
const SaidSchema = z.discriminatedUnion('said', [KilledSchema, ReportSchema, ReadySchema]);
type Said = z.infer<typeof SaidSchema>;
export type KillMoment = z.infer<typeof KilledSchema>;
export type FloodReport = z.infer<typeof ReportSchema>;

export type FloodOptions = {
  port: number;
  watchPort: number | null;
  clients: number;
  sensorsPerClient: number;
  perSecond: number;
};
export type Flood = {
  /** Where the server must connect to, so that its acknowledgements are seen. */
  watchedPort: number | null;
  start(): void;
  kill(pid: number, at: { afterMs: number; busyMs: number }): Promise<KillMoment>;
  /** No new readings; those that are not acknowledged go on being sent. */
  pause(): Promise<FloodReport>;
  report(): Promise<FloodReport>;
};

function nextSaid<T extends Said['said']>(child: ChildProcess, said: T): Promise<Extract<Said, { said: T }>> {
  return new Promise((resolve, reject) => {
    const hear = (message: unknown): void => {
      const heard = SaidSchema.parse(message);
      if (heard.said !== said) return;
      child.off('message', hear);
      child.off('exit', gone);
      resolve(heard as Extract<Said, { said: T }>);
    };
    const gone = (code: number | null): void => reject(new Error(`the flood ended with ${String(code)}`));
    child.on('message', hear);
    child.once('exit', gone);
  });
}

/** Starts a flood in a process of its own; it ends with the test. */
export async function openFlood(options: FloodOptions): Promise<Flood> {
  const child = fork(join(import.meta.dirname, 'flood.ts'), [JSON.stringify(options)], {
    execArgv: ['--import', 'tsx'],
    stdio: ['ignore', 'inherit', 'inherit', 'ipc'],
  });
  onTestFinished(() => void child.kill('SIGKILL'));
  const { watchedPort } = await nextSaid(child, 'ready');
  const ask = <T extends Said['said']>(order: Record<string, unknown>, said: T) => {
    const answer = nextSaid(child, said);
    child.send(order);
    return answer;
  };
  return {
    watchedPort,
    start: () => void child.send({ order: 'start' }),
    kill: (pid, at) => ask({ order: 'kill', pid, ...at }, 'killed'),
    pause: () => ask({ order: 'pause' }, 'report'),
    report: () => ask({ order: 'report' }, 'report'),
  };
}
