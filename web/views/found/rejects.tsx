import type { JSX } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import * as z from 'zod/mini';
import { RejectViewSchema } from '../../../server/contract/api.ts';
import type { RejectView } from '../../../server/contract/api.ts';
import { api } from '../../api-client.ts';
import type { ApiResult } from '../../api-client.ts';
import { clockSecondsText } from '../../format/clock.ts';
import { detailWords, rejectWords } from '../reject-words.ts';

const REJECTS_EVERY_MS = 10_000;
const RejectListSchema = z.array(RejectViewSchema);

function useRejects(): ApiResult<RejectView[]> | null {
  const [answer, setAnswer] = useState<ApiResult<RejectView[]> | null>(null);
  useEffect(() => {
    let isHere = true;
    const ask = async (): Promise<void> => {
      const next = await api('GET', '/api/rejects', RejectListSchema);
      if (isHere) setAnswer(next);
    };
    void ask();
    const timer = setInterval(() => void ask(), REJECTS_EVERY_MS);
    return () => {
      isHere = false;
      clearInterval(timer);
    };
  }, []);
  return answer;
}

/** The newest messages that were no readings, one by one. */
export function Rejects({ timeZone }: { timeZone: string }): JSX.Element | null {
  const answer = useRejects();
  if (answer === null) return null;
  return (
    <section class="pg-rejects" aria-label="Messages that were no readings">
      <h2>Messages that were no readings</h2>
      {answer.ok ? null : <p class="pg-trouble">{answer.problem.title}</p>}
      {answer.ok && answer.value.length === 0 ? <p>None. Every message so far was a reading.</p> : null}
      {answer.ok ? (
        <ul>
          {answer.value.map((reject) => (
            <li key={`${String(reject.receivedMs)} ${reject.topic} ${reject.payloadText}`}>
              <p>
                <b>{rejectWords(reject.reason)}</b> {clockSecondsText(reject.receivedMs, timeZone)},{' '}
                <code>{reject.topic}</code>
              </p>
              {reject.detail === '' || reject.detail === reject.payloadText ? null : (
                <p>{detailWords(reject.detail)}</p>
              )}
              <code class="pg-payload" tabIndex={0}>
                {reject.payloadText === '' ? '(empty)' : reject.payloadText}
              </code>
            </li>
          ))}
        </ul>
      ) : null}
    </section>
  );
}
