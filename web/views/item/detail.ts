import { useEffect, useState } from 'preact/hooks';
import { BucketsSchema, CookoutDetailSchema } from '../../../server/contract/api.ts';
import type { Buckets, CookoutDetail } from '../../../server/contract/api.ts';
import type { Row } from '../../../server/contract/board.ts';
import { api } from '../../api-client.ts';
import { nowMs } from '../../state.ts';
import { MAX_POINTS, spanRange } from './history.ts';
import type { Span } from './history.ts';

export type StepMark = CookoutDetail['steps'][number];
export type SpotCheckView = CookoutDetail['spotChecks'][number];

const REFRESH_MS = 15_000;

/** What was fetched; null while it is on its way, a text when the server could not say. */
export type Fetched<T> =
  { kind: 'loading' } | { kind: 'failed'; title: string } | { kind: 'ready'; value: T };

/** What a row's probe read while it belonged to the row, over a span; fetched again while the page is open. */
export function useReadings({ sensorId, reads }: Row, span: Span): Fetched<Buckets['points']> {
  const ownFromMs = reads?.fromMs ?? null;
  const ownToMs = reads?.toMs ?? Infinity;
  const [fetched, setFetched] = useState<Fetched<Buckets['points']>>({ kind: 'loading' });
  useEffect(() => {
    if (sensorId === null || ownFromMs === null) {
      setFetched({ kind: 'ready', value: [] });
      return undefined;
    }
    return repeat(async (isWanted) => {
      const { fromMs, toMs } = spanRange(span, nowMs.peek());
      const query = new URLSearchParams({
        sensor: sensorId,
        fromMs: String(Math.round(Math.max(fromMs, ownFromMs))),
        toMs: String(Math.round(Math.min(toMs, ownToMs))),
        points: String(MAX_POINTS),
      });
      const answer = await api('GET', `/api/readings?${query.toString()}`, BucketsSchema);
      if (!isWanted()) return;
      setFetched(
        answer.ok
          ? { kind: 'ready', value: answer.value.points }
          : { kind: 'failed', title: answer.problem.title },
      );
    });
  }, [sensorId, ownFromMs, ownToMs, span]);
  return fetched;
}

type BatchHistory = { steps: StepMark[]; checks: SpotCheckView[] };
const NOTHING: BatchHistory = { steps: [], checks: [] };

/** Steps and spot checks of a batch; `revision` is any value that changes when they should be fetched anew. */
export function useBatchHistory(
  cookoutId: string | null,
  batchId: string | null,
  revision: unknown,
): BatchHistory {
  const [history, setHistory] = useState<BatchHistory>(NOTHING);
  useEffect(() => {
    if (cookoutId === null || batchId === null) {
      setHistory(NOTHING);
      return undefined;
    }
    return repeat(async (isWanted) => {
      const answer = await api('GET', `/api/cookouts/${encodeURIComponent(cookoutId)}`, CookoutDetailSchema);
      if (!answer.ok || !isWanted()) return;
      const isOurs = (entry: { batchId: string }): boolean => entry.batchId === batchId;
      setHistory({
        steps: answer.value.steps.filter(isOurs),
        checks: answer.value.spotChecks.filter(isOurs),
      });
    });
  }, [cookoutId, batchId, revision]);
  return history;
}

/** Runs at once and then every 15 s; returns how to stop. */
function repeat(run: (isWanted: () => boolean) => Promise<void>): () => void {
  let isWanted = true;
  const go = (): void => void run(() => isWanted);
  go();
  const timer = setInterval(go, REFRESH_MS);
  return () => {
    isWanted = false;
    clearInterval(timer);
  };
}
