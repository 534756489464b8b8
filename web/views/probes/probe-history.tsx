import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { ProbeHistorySchema } from '../../../server/contract/probe.ts';
import type { ProbeHistory } from '../../../server/contract/probe.ts';
import { api } from '../../api-client.ts';
import type { ApiResult } from '../../api-client.ts';
import { clockText } from '../../format/clock.ts';
import { shortDayText } from '../../format/day.ts';
import { probePath } from './probe-path.ts';
import { historyLines } from './probe-lines.ts';

/** The history of one probe, read when it is opened. */
export function ProbePast({ sensorId, timeZone }: { sensorId: string; timeZone: string }): JSX.Element {
  const [answer, setAnswer] = useState<ApiResult<ProbeHistory> | null>(null);
  const load = async (): Promise<void> => {
    setAnswer(await api('GET', probePath(sensorId, 'checks'), ProbeHistorySchema));
  };
  const lines = answer?.ok === true ? historyLines(answer.value) : null;
  return (
    <details
      class="pr-past"
      onToggle={(event) => {
        if (event.currentTarget.open) void load();
      }}
    >
      <summary>Checks and corrections so far</summary>
      {answer?.ok === false ? <p class="pg-trouble">{answer.problem.title}</p> : null}
      {lines?.length === 0 ? <p>None yet.</p> : null}
      <ul>
        {(lines ?? []).map(({ key, atMs, text }) => (
          <li key={key}>
            {shortDayText(atMs, timeZone)} {clockText(atMs, timeZone)}. {text}
          </li>
        ))}
      </ul>
    </details>
  );
}
