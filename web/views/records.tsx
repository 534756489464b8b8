import type { JSX } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import * as z from 'zod/mini';
import { CookoutSchema } from '../../server/contract/cookout.ts';
import type { Cookout } from '../../server/contract/cookout.ts';
import { api } from '../api-client.ts';
import type { ApiResult } from '../api-client.ts';
import { cookoutDay } from '../format/cookout-day.ts';
import { PageHead } from '../page-head.tsx';
import '../styles/forms.css';
import '../styles/cards.css';

const CookoutListSchema = z.array(CookoutSchema);

function CookoutItem({ cookout }: { cookout: Cookout }): JSX.Element {
  const { id, name, guests, endedMs, isDemo } = cookout;
  return (
    <li class="pg-card">
      <a class="pg-cover" href={`#/record/${encodeURIComponent(id)}`}>
        <h2 class="pg-name">{name}</h2>
        <p>
          {cookoutDay(cookout)}, {guests} guests, {endedMs === null ? 'still running' : 'ended'}
        </p>
        {isDemo ? <span class="demo-mark">Demo data</span> : null}
      </a>
    </li>
  );
}

function Cookouts({ answer }: { answer: ApiResult<Cookout[]> }): JSX.Element {
  if (!answer.ok)
    return (
      <p class="pg-trouble" role="alert">
        {answer.problem.title}
      </p>
    );
  if (answer.value.length === 0)
    return (
      <>
        <p>No cookout yet, so no record.</p>
        <a class="pg-next" href="#/plan">
          Start a plan
        </a>
      </>
    );
  return (
    <ul class="pg-cards">
      {answer.value.map((cookout) => (
        <CookoutItem key={cookout.id} cookout={cookout} />
      ))}
    </ul>
  );
}

export function RecordsView(): JSX.Element {
  const [answer, setAnswer] = useState<ApiResult<Cookout[]> | null>(null);
  useEffect(() => {
    void api('GET', '/api/cookouts', CookoutListSchema).then(setAnswer);
  }, []);
  return (
    <div class="pg-page">
      <PageHead title="Records" />
      <main class="pg-column">
        {answer === null ? <p role="status">Reading the records</p> : <Cookouts answer={answer} />}
      </main>
    </div>
  );
}
