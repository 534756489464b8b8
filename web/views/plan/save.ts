import * as z from 'zod/mini';
import type { Problem } from '../../../server/contract/api.ts';
import { NO_BODY, api } from '../../api-client.ts';

/** Every thing of the plan answers with itself; only its id matters here, because the plan is read afresh. */
const SavedSchema = z.looseObject({ id: z.string() });

export type Saved = { ok: true; id: string } | { ok: false; problem: Problem };

export async function create(path: string, body: unknown): Promise<Saved> {
  const answer = await api('POST', path, SavedSchema, body);
  return answer.ok ? { ok: true, id: answer.value.id } : answer;
}

export async function change(path: string, body: unknown): Promise<Problem | null> {
  const answer = await api('PATCH', path, z.unknown(), body);
  return answer.ok ? null : answer.problem;
}

export async function remove(path: string): Promise<Problem | null> {
  const answer = await api('DELETE', path, NO_BODY);
  return answer.ok ? null : answer.problem;
}
