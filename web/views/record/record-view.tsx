import type { JSX } from 'preact';
import { useCallback, useEffect, useState } from 'preact/hooks';
import { RecordSchema } from '../../../server/contract/api.ts';
import type { CookoutRecord } from '../../../server/contract/api.ts';
import { api } from '../../api-client.ts';
import type { ApiResult } from '../../api-client.ts';
import { PageHead } from '../../page-head.tsx';
import { route } from '../../router.ts';
import { csvPath, recordPath } from './record-paths.ts';
import { RecordSheet } from './record-sheet.tsx';
import '../../styles/record.css';

export function RecordView(): JSX.Element {
  const cookoutId = route.value.name === 'record' ? route.value.cookoutId : '';
  const [answer, setAnswer] = useState<ApiResult<CookoutRecord> | null>(null);
  const load = useCallback(async () => {
    setAnswer(null);
    setAnswer(await api('GET', recordPath(cookoutId), RecordSchema));
  }, [cookoutId]);
  useEffect(() => void load(), [load]);
  return (
    <div class="rec-record">
      <PageHead title="Record" />
      <nav class="rec-tools" aria-label="Record">
        <a href="#/records">All records</a>
        <a href={csvPath(cookoutId)} download>
          Readings as CSV
        </a>
        <button type="button" onClick={() => void load()}>
          Read again
        </button>
        <button type="button" class="rec-main" onClick={() => print()}>
          Print
        </button>
      </nav>
      <main>
        {answer === null ? <p role="status">Reading the record</p> : null}
        {answer?.ok === false ? (
          <p class="rec-trouble" role="alert">
            {answer.problem.title}
          </p>
        ) : null}
        {answer?.ok === true ? <RecordSheet record={answer.value} /> : null}
      </main>
    </div>
  );
}
