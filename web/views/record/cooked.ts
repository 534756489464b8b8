import type { CookoutRecord, RecordTrace } from '../../../server/contract/api.ts';
import type { StepKind } from '../../../server/contract/steps.ts';
import { clockText } from '../../format/clock.ts';
import { degText } from '../../format/temperature.ts';

/** One batch that was cooked, as the table of the record tells it. */
export type CookedLine = {
  batchId: string;
  name: string;
  limit: string;
  reached: string;
  highest: string;
  off: string;
  served: string;
};

/** Whether the core limit was reached, as measured; what nobody measured is never told as reached. */
export function reachedText({ limit, core }: Pick<RecordTrace, 'limit' | 'core'>, timeZone: string): string {
  if (core === null) return limit === null ? 'No core limit' : 'Not known whether the limit was reached';
  switch (core.state) {
    case 'met':
      return core.atMs === null ? 'Limit reached' : `Limit reached ${clockText(core.atMs, timeZone)}`;
    case 'not-met':
      return 'Limit not reached in these readings';
    case 'unknown':
      return 'Not known whether the limit was reached';
  }
}

/** Every batch that was cooked or reheated, in the order in which they went on; one without a probe says so. */
export function cookedLines(record: CookoutRecord): CookedLine[] {
  const { steps, traces, cookout } = record;
  const { timeZone } = cookout;
  const names = new Map<string, string>();
  for (const { batchId, name, step } of [...steps].sort((a, b) => a.atMs - b.atMs))
    if (step === 'on' || step === 'reheating') names.set(batchId, name);
  const cooked = traces.filter(({ kind }) => kind === 'cook');
  for (const { subject, name } of cooked) if (!names.has(subject.id)) names.set(subject.id, name);
  const lastOf = (batchId: string, kind: StepKind): string => {
    const times = steps.filter((one) => one.batchId === batchId && one.step === kind).map(({ atMs }) => atMs);
    return times.length === 0 ? '–' : clockText(Math.max(...times), timeZone);
  };
  return [...names].map(([batchId, name]) => {
    const trace = cooked.find(({ subject }) => subject.id === batchId);
    return {
      batchId,
      name,
      limit: trace === undefined ? '–' : (trace.limit?.text ?? 'none set'),
      reached: trace === undefined ? 'Not probed' : reachedText(trace, timeZone),
      highest: degText(trace?.highestC ?? null),
      off: lastOf(batchId, 'off'),
      served: lastOf(batchId, 'served'),
    };
  });
}
