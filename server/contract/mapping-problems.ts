import * as z from 'zod/mini';
import { isMappingDocument, MappingSchema, sameId, type Mapping, type MappingDocument } from './mapping.ts';

/** `path`: where in the document, such as rules.0.values.1.unit. */
export type MappingProblem = { path: string; message: string };
export type MappingResult =
  { ok: true; mapping: Mapping; document: MappingDocument } | { ok: false; problems: MappingProblem[] };

type Issue = z.core.$ZodIssue;
type RawIssue = z.core.$ZodRawIssue;

/** The document as a mapping, or everything that is wrong with it. Never throws. */
export function parseMapping(document: unknown): MappingResult {
  const parsed = z.safeParse(MappingSchema, document, { error: wording });
  if (parsed.success && isMappingDocument(document)) return { ok: true, mapping: parsed.data, document };
  const problems = (parsed.error?.issues ?? []).flatMap((issue) => problemsOf(issue, []));
  const listed = new Set(problems.map(({ path }) => path));
  // the rules are compared only when each of them is right; a person wants to know everything at once
  return {
    ok: false,
    problems: [...problems, ...repeatedIds(document).filter(({ path }) => !listed.has(path))],
  };
}

const IdsSchema = z.object({ rules: z.array(z.looseObject({ id: z.string() })) });

function repeatedIds(document: unknown): MappingProblem[] {
  const parsed = z.safeParse(IdsSchema, document);
  const ids = parsed.data?.rules.map(({ id }) => id) ?? [];
  return ids.flatMap((id, index) => {
    const first = ids.indexOf(id);
    return first === index ? [] : [{ path: `rules.${index}.id`, message: sameId(first) }];
  });
}

function problemsOf(issue: Issue, above: readonly PropertyKey[]): MappingProblem[] {
  const path = [...above, ...issue.path];
  if (issue.code === 'unrecognized_keys')
    return issue.keys.map((key) => ({ path: pathText([...path, key]), message: 'no such field' }));
  if (issue.code === 'invalid_union' && issue.errors.length > 0) {
    // of the forms that a field may have, the one that went furthest is the one that was meant
    const depth = (errors: readonly Issue[]): number => Math.max(...errors.map((e) => e.path.length));
    const nested = issue.errors.filter((errors) => errors.length > 0 && depth(errors) > 0);
    const meant = nested[0];
    if (meant && nested.length === 1) return meant.flatMap((inner) => problemsOf(inner, path));
  }
  return [{ path: pathText(path), message: issue.message }];
}

function pathText(path: readonly PropertyKey[]): string {
  return path.map(String).join('.') || 'mapping';
}

function wording(issue: RawIssue): string | undefined {
  switch (issue.code) {
    case 'invalid_type':
      return issue.input === undefined ? 'is needed' : `must be ${A_KIND[issue.expected] ?? issue.expected}`;
    case 'invalid_value':
      return `must be ${issue.values.map(String).join(' or ')}`;
    case 'invalid_union':
      return 'must be one of the forms that this field can have';
    case 'too_small':
      return `must be ${boundText(issue, 'at least', issue.minimum)}`;
    case 'too_big':
      return `must be ${boundText(issue, 'at most', issue.maximum)}`;
    default:
      return undefined;
  }
}

const A_KIND: Readonly<Record<string, string>> = {
  string: 'text',
  number: 'a number',
  int: 'a whole number',
  object: 'an object {…}',
  record: 'an object {…}',
  array: 'a list […]',
  tuple: 'a list of two numbers',
};

function boundText({ origin }: { origin: string }, word: string, bound: number | bigint): string {
  if (origin === 'string') return `${word} ${bound} character${Number(bound) === 1 ? '' : 's'} long`;
  if (origin === 'array') return `a list of ${word} ${bound}`;
  return `${word} ${bound}`;
}
