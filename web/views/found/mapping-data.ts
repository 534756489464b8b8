import { useCallback, useEffect, useState } from 'preact/hooks';
import * as z from 'zod/mini';
import { MappingTryAnswerSchema } from '../../../server/contract/mapping-api.ts';
import type { MappingTryAnswer } from '../../../server/contract/mapping-api.ts';
import { parseMapping } from '../../../server/contract/mapping-problems.ts';
import type { MappingProblem } from '../../../server/contract/mapping-problems.ts';
import type { MappingDocument } from '../../../server/contract/mapping.ts';
import type { Problem } from '../../../server/contract/api.ts';
import { api } from '../../api-client.ts';

/** The rules as they were written: what a person left out stays left out. */
const WrittenSchema = z.looseObject({ mapping: z.unknown(), filePath: z.nullable(z.string()) });

export type WrittenMapping = { document: MappingDocument; filePath: string | null };
export type MappingState =
  { kind: 'loading' } | { kind: 'failed'; problem: Problem } | { kind: 'ready'; written: WrittenMapping };
export type MappingData = { state: MappingState; reload: () => Promise<void> };

/** The mapping that is in force. */
export function useMapping(): MappingData {
  const [state, setState] = useState<MappingState>({ kind: 'loading' });
  const reload = useCallback(async (): Promise<void> => {
    const answer = await api('GET', '/api/mapping', WrittenSchema);
    if (!answer.ok) {
      setState({ kind: 'failed', problem: answer.problem });
      return;
    }
    const parsed = parseMapping(answer.value.mapping);
    if (parsed.ok)
      setState({ kind: 'ready', written: { document: parsed.document, filePath: answer.value.filePath } });
    else
      setState({
        kind: 'failed',
        problem: {
          type: 'about:blank',
          title: 'The rules of the server were not understood',
          status: 200,
        },
      });
  }, []);
  useEffect(() => void reload(), [reload]);
  return { state, reload };
}

/** Every complaint of the server with its path; what names no field stands for the whole document. */
export function problemsOf({ title, detail, errors }: Problem): MappingProblem[] {
  if (errors === undefined || errors.length === 0)
    return [{ path: '', message: [title, detail].filter((part) => part !== undefined).join('. ') }];
  return errors.map(({ field, message }) => ({
    path: field.replace(/^\/?mapping\./, ''),
    message,
  }));
}

/** Puts a mapping in force; answers with everything that is wrong with it, nothing when it was taken. */
export async function saveMapping(document: unknown): Promise<MappingProblem[]> {
  const parsed = parseMapping(document);
  if (!parsed.ok) return parsed.problems;
  const answer = await api('PUT', '/api/mapping', z.unknown(), document);
  return answer.ok ? [] : problemsOf(answer.problem);
}

export type Payload = { payloadText: string } | { payloadHex: string };
export type Tried = { ok: true; value: MappingTryAnswer } | { ok: false; problems: MappingProblem[] };

/** What would come of a message by a mapping that is not in force. */
export async function tryMapping(topic: string, payload: Payload, mapping: unknown): Promise<Tried> {
  const answer = await api('POST', '/api/mapping/try', MappingTryAnswerSchema, {
    topic,
    ...payload,
    mapping,
  });
  return answer.ok ? answer : { ok: false, problems: problemsOf(answer.problem) };
}

export async function forgetTopic(topic: string): Promise<Problem | null> {
  const answer = await api('DELETE', '/api/found', z.unknown(), { topic });
  return answer.ok ? null : answer.problem;
}
