/** Plain fetch with JSON in and out, for tests that speak to a running server. */
export type Answer<T> = { status: number; body: T; headers: Headers };

export async function call<T = unknown>(
  url: string,
  { method = 'GET', body, cookie }: { method?: string; body?: unknown; cookie?: string } = {},
): Promise<Answer<T>> {
  const response = await fetch(url, {
    method,
    headers: {
      ...(body === undefined ? {} : { 'Content-Type': 'application/json' }),
      ...(cookie ? { Cookie: cookie } : {}),
    },
    ...(body === undefined ? {} : { body: JSON.stringify(body) }),
  });
  const text = await response.text();
  const isJson = response.headers.get('content-type')?.includes('json') === true;
  return {
    status: response.status,
    body: (isJson ? JSON.parse(text) : text) as T,
    headers: response.headers,
  };
}

export const post = <T = { id: string }>(url: string, body: unknown, cookie?: string): Promise<Answer<T>> =>
  call<T>(url, { method: 'POST', body, ...(cookie ? { cookie } : {}) });
