/** A schema of the contract, as far as it is used here. */
type Schema<Value> = {
  safeParse(data: unknown): { success: true; data: Value } | { success: false; error: { message: string } };
};
export type Answer<Value> =
  | { ok: true; value: Value }
  /** `status` 0: no answer at all. */
  | { ok: false; status: number; why: string };

const ANSWER_WITHIN_MS = 5000;
const WHY_LENGTH = 300;

async function ask(url: string, init: RequestInit): Promise<Answer<unknown>> {
  try {
    const response = await fetch(url, { ...init, signal: AbortSignal.timeout(ANSWER_WITHIN_MS) });
    const text = await response.text();
    if (!response.ok) return { ok: false, status: response.status, why: text.slice(0, WHY_LENGTH) };
    const value: unknown = text === '' ? null : JSON.parse(text);
    return { ok: true, value };
  } catch (error) {
    return { ok: false, status: 0, why: error instanceof Error ? error.message : String(error) };
  }
}

function read<Value>(answer: Answer<unknown>, schema: Schema<Value>, what: string): Answer<Value> {
  if (!answer.ok) return answer;
  const parsed = schema.safeParse(answer.value);
  if (parsed.success) return { ok: true, value: parsed.data };
  return { ok: false, status: 200, why: `${what}: ${parsed.error.message.slice(0, WHY_LENGTH)}` };
}

/** A schema for a list, from the schema of its items. */
export function listOf<Value>(item: Schema<Value>): Schema<Value[]> {
  return {
    safeParse(data) {
      if (!Array.isArray(data)) return { success: false, error: { message: 'expected a list' } };
      const values: Value[] = [];
      for (const entry of data) {
        const parsed = item.safeParse(entry);
        if (!parsed.success) return parsed;
        values.push(parsed.data);
      }
      return { success: true, data: values };
    },
  };
}

/** The HTTP interface as any user's program sees it. */
export class Host {
  readonly #baseUrl: string;

  constructor(baseUrl: string) {
    this.#baseUrl = baseUrl.replace(/\/+$/, '');
  }

  async get<Value>(path: string, schema: Schema<Value>): Promise<Answer<Value>> {
    return read(await ask(this.#baseUrl + path, {}), schema, path);
  }

  /** Posts and reads what was made. */
  async make<Value>(path: string, body: object, schema: Schema<Value>): Promise<Answer<Value>> {
    return read(await this.post(path, body), schema, path);
  }

  /** Posts; what comes back does not matter. */
  async post(path: string, body: object): Promise<Answer<unknown>> {
    return this.#send('POST', path, body);
  }

  /** Changes; what comes back does not matter. */
  async patch(path: string, body: object): Promise<Answer<unknown>> {
    return this.#send('PATCH', path, body);
  }

  async #send(method: string, path: string, body: object): Promise<Answer<unknown>> {
    return ask(this.#baseUrl + path, {
      method,
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify(body),
    });
  }
}
