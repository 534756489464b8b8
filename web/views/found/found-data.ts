import { useCallback, useEffect, useRef, useState } from 'preact/hooks';
import * as z from 'zod/mini';
import { FoundTopicSchema } from '../../../server/contract/probe.ts';
import type { FoundTopic } from '../../../server/contract/probe.ts';
import { api } from '../../api-client.ts';
import type { ApiResult } from '../../api-client.ts';

const FOUND_EVERY_MS = 5_000;
const FoundListSchema = z.array(FoundTopicSchema);

export type Found = { answer: ApiResult<readonly FoundTopic[]> | null; reload: () => Promise<void> };

/** Topics heard but not understood, asked for again and again. */
export function useFound(): Found {
  const [answer, setAnswer] = useState<ApiResult<readonly FoundTopic[]> | null>(null);
  const isHere = useRef(true);
  const reload = useCallback(async (): Promise<void> => {
    const next = await api('GET', '/api/found', FoundListSchema);
    if (isHere.current) setAnswer(next);
  }, []);
  useEffect(() => {
    isHere.current = true;
    void reload();
    const timer = setInterval(() => void reload(), FOUND_EVERY_MS);
    return () => {
      isHere.current = false;
      clearInterval(timer);
    };
  }, [reload]);
  return { answer, reload };
}
