import * as z from 'zod/mini';
import { ProblemSchema } from '../server/contract/api.ts';
import type { Problem } from '../server/contract/api.ts';
import { navigate } from './router.ts';

export type Method = 'GET' | 'POST' | 'PUT' | 'PATCH' | 'DELETE';
export type ApiResult<T> = { ok: true; value: T } | { ok: false; problem: Problem };

/** For answers without a body (204). */
export const NO_BODY = z.undefined();
const PATIENCE_MS = 15_000;

/**
 * One request to the server. Never throws: what went wrong comes back as a problem with words for the cook.
 * `path` starts with `/api/`. A 401 leads to the page where the passphrase is asked.
 */
export async function api<T>(
  method: Method,
  path: string,
  schema: z.ZodMiniType<T>,
  body?: unknown,
): Promise<ApiResult<T>> {
  let response: Response;
  try {
    response = await fetch(path, requestInit(method, body));
  } catch {
    return failed('No link to the server', 0, 'Nothing was saved. Try again when the link is back.');
  }
  const answer = await bodyOf(response);
  if (response.status === 401) navigate('/reach');
  if (!response.ok) return { ok: false, problem: problemOf(response, answer) };
  const parsed = schema.safeParse(answer);
  if (parsed.success) return { ok: true, value: parsed.data };
  return failed('The answer was not understood', response.status, parsed.error.issues[0]?.message);
}

function requestInit(method: Method, body: unknown): RequestInit {
  const base: RequestInit = { method, cache: 'no-store', signal: AbortSignal.timeout(PATIENCE_MS) };
  if (method === 'GET') return base;
  return { ...base, headers: { 'Content-Type': 'application/json' }, body: JSON.stringify(body ?? {}) };
}

async function bodyOf(response: Response): Promise<unknown> {
  if (response.status === 204) return undefined;
  try {
    const answer: unknown = await response.json();
    return answer;
  } catch {
    return undefined;
  }
}

function problemOf(response: Response, answer: unknown): Problem {
  const parsed = ProblemSchema.safeParse(answer);
  if (parsed.success) return parsed.data;
  const title = response.status === 401 ? 'The passphrase is needed' : 'The server could not do that';
  return { type: 'about:blank', title, status: response.status };
}

function failed(title: string, status: number, detail?: string): { ok: false; problem: Problem } {
  return {
    ok: false,
    problem: { type: 'about:blank', title, status, ...(detail === undefined ? {} : { detail }) },
  };
}

/** True when the server was not reached at all. */
export function isNoLink({ status }: Problem): boolean {
  return status === 0;
}

/** The words of a problem in one line. */
export function problemText(problem: Problem): string {
  const fields = (problem.errors ?? []).map((error) => error.message);
  const parts = [problem.title, problem.detail, ...fields].filter(
    (part) => part !== undefined && part !== '',
  );
  return [...new Set(parts)].map((part) => part?.replace(/\.$/, '')).join('. ');
}
