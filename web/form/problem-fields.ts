import type { Problem } from '../../server/contract/api.ts';
import type { FieldErrors } from './check.ts';

export type ProblemFields = {
  /** Messages that belong to a field on the form. */
  errors: FieldErrors;
  /** What is left, to be shown above the form. */
  general: string | null;
};

/** `serves[0].atMs`, `/serves/0/atMs` and `serves.0.atMs` are the same field. */
function plainPath(field: string): string {
  return field
    .replace(/^\/|^body[./]/, '')
    .replace(/\[(\d+)\]/g, '.$1')
    .replaceAll('/', '.');
}

/** `serves.0.atMs` is shown at itself, else at `serves.0`, else at `serves`, else nowhere. */
function nearest(path: string, fields: readonly string[]): string | null {
  const parts = path.split('.');
  for (let length = parts.length; length > 0; length -= 1) {
    const name = parts.slice(0, length).join('.');
    if (fields.includes(name)) return name;
  }
  return null;
}

/**
 * Puts each complaint of the server at the field it is about. None is dropped: what no field of the form
 * claims goes into the sentence above the form.
 */
export function placeProblem(
  problem: Problem,
  fields: readonly string[],
  fieldOf: (path: string) => string = (path) => path,
): ProblemFields {
  const errors: Record<string, string> = {};
  const strays: string[] = [];
  for (const { field, message } of problem.errors ?? []) {
    const path = plainPath(field);
    const name = nearest(fieldOf(path), fields);
    if (name === null) strays.push(path === '' ? message : `${path}: ${message}`);
    else errors[name] = name in errors ? `${errors[name] ?? ''} ${message}` : message;
  }
  if (Object.keys(errors).length > 0 && strays.length === 0) return { errors, general: null };
  const said =
    problem.errors === undefined ? [problem.title, problem.detail ?? ''] : [problem.title, ...strays];
  const general = said.map((part) => part.trim().replace(/\.$/, '')).filter((part) => part !== '');
  return { errors, general: `${general.join('. ')}.` };
}
