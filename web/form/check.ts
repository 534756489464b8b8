import type * as z from 'zod/mini';

/** What is wrong, by the name of the field it is wrong in. */
export type FieldErrors = Readonly<Record<string, string>>;
export type Checked<T> = { ok: true; value: T } | { ok: false; errors: FieldErrors };

const NUMERAL = /^[+-]?\d+(?:[.,]\d+)?$/;

/**
 * A number as a person types it, with a point or a comma.
 *
 * @returns NaN when it is no number, so that every later comparison refuses it
 */
export function numberOf(text: string): number {
  const typed = text.trim();
  return NUMERAL.test(typed) ? Number(typed.replace(',', '.')) : Number.NaN;
}

/** The same, with an empty field meaning "not known". */
export function numberOrNull(text: string): number | null {
  return text.trim() === '' ? null : numberOf(text);
}

type Check<T> = {
  schema: z.ZodMiniType<T>;
  candidate: unknown;
  /** What to say when a field is refused, by its name on the form. */
  messages: FieldErrors;
  /** Which field of the form a path of the schema belongs to. */
  fieldOf?: (path: string) => string;
};

/** Asks the agreed schema, and answers in the words of the form. */
export function check<T>({ schema, candidate, messages, fieldOf = (path) => path }: Check<T>): Checked<T> {
  const parsed = schema.safeParse(candidate);
  if (parsed.success) return { ok: true, value: parsed.data };
  const errors: Record<string, string> = {};
  for (const issue of parsed.error.issues) {
    const field = fieldOf(issue.path.map(String).join('.'));
    errors[field] ??=
      messages[field] ?? messages[field.split('.')[0] ?? ''] ?? 'This cannot be used. Look at it again.';
  }
  return { ok: false, errors };
}
