import { useCallback, useEffect, useRef, useState } from 'preact/hooks';
import * as z from 'zod/mini';
import { CookoutDetailSchema } from '../../../server/contract/api.ts';
import { SensorViewSchema } from '../../../server/contract/probe.ts';
import type { CookoutDetail, Problem } from '../../../server/contract/api.ts';
import type { SensorView } from '../../../server/contract/probe.ts';
import { CookoutSchema } from '../../../server/contract/cookout.ts';
import { api } from '../../api-client.ts';
import type { ApiResult } from '../../api-client.ts';

export type PlanState =
  | { kind: 'loading' }
  | { kind: 'failed'; problem: Problem }
  | { kind: 'none' }
  | { kind: 'ready'; detail: CookoutDetail };

export type PlanData = {
  plan: PlanState;
  sensors: readonly SensorView[];
  /** Why what is shown may be out of date; null while it is not. */
  staleProblem: Problem | null;
  reload: () => Promise<void>;
};

const PROBES_EVERY_MS = 5_000;
const CookoutListSchema = z.array(CookoutSchema);
const SensorListSchema = z.array(SensorViewSchema);

/** The cookout that the live screen shows: the newest that has not ended. */
async function loadCurrent(): Promise<ApiResult<CookoutDetail | null>> {
  const list = await api('GET', '/api/cookouts', CookoutListSchema);
  if (!list.ok) return list;
  const running = list.value.filter(({ endedMs }) => endedMs === null);
  const current = running.find(
    ({ createdMs }) => createdMs === Math.max(...running.map((one) => one.createdMs)),
  );
  if (current === undefined) return { ok: true, value: null };
  return api('GET', `/api/cookouts/${current.id}`, CookoutDetailSchema);
}

export function askSensors(): Promise<ApiResult<readonly SensorView[]>> {
  return api('GET', '/api/sensors', SensorListSchema);
}

function useSensors(everyMs: number): ApiResult<readonly SensorView[]> | null {
  const [answer, setAnswer] = useState<ApiResult<readonly SensorView[]> | null>(null);
  useEffect(() => {
    let isHere = true;
    const ask = async (): Promise<void> => {
      const next = await askSensors();
      if (isHere) setAnswer(next);
    };
    void ask();
    const timer = setInterval(() => void ask(), everyMs);
    return () => {
      isHere = false;
      clearInterval(timer);
    };
  }, [everyMs]);
  return answer;
}

export function usePlan(): PlanData {
  const [plan, setPlan] = useState<PlanState>({ kind: 'loading' });
  const [staleProblem, setStaleProblem] = useState<Problem | null>(null);
  const isHere = useRef(true);
  const sensors = useSensors(PROBES_EVERY_MS);

  const reload = useCallback(async (): Promise<void> => {
    const answer = await loadCurrent();
    if (!isHere.current) return;
    if (answer.ok) {
      setStaleProblem(null);
      setPlan(answer.value === null ? { kind: 'none' } : { kind: 'ready', detail: answer.value });
      return;
    }
    setStaleProblem(answer.problem);
    setPlan((before) => (before.kind === 'ready' ? before : { kind: 'failed', problem: answer.problem }));
  }, []);

  useEffect(() => {
    isHere.current = true;
    void reload();
    return () => {
      isHere.current = false;
    };
  }, [reload]);

  return { plan, sensors: sensors?.ok === true ? sensors.value : [], staleProblem, reload };
}
