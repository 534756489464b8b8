export type PointedAt = { kind: 'found'; value: unknown } | { kind: 'absent' };

const ABSENT: PointedAt = { kind: 'absent' };
/** RFC 6901 section 4: no leading zeros, and `-` is the element after the last, which is never there. */
const INDEX = /^(?:0|[1-9]\d*)$/;

/** The names on the way, with ~1 and ~0 undone in that order (RFC 6901 section 4). The pointer must be valid. */
export function pointerNames(pointer: string): string[] {
  if (pointer === '') return [];
  return pointer
    .slice(1)
    .split('/')
    .map((name) => name.replaceAll('~1', '/').replaceAll('~0', '~'));
}

/** What a JSON value has at a pointer. Only what the payload itself holds, never what every object inherits. */
export function pointedAt(root: unknown, names: readonly string[]): PointedAt {
  let value = root;
  for (const name of names) {
    const next = memberOf(value, name);
    if (next.kind === 'absent') return next;
    value = next.value;
  }
  return { kind: 'found', value };
}

function memberOf(value: unknown, name: string): PointedAt {
  if (Array.isArray(value)) {
    const list: unknown[] = value;
    const isThere = INDEX.test(name) && Number(name) < list.length;
    return isThere ? { kind: 'found', value: list[Number(name)] } : ABSENT;
  }
  return isObject(value) && Object.hasOwn(value, name) ? { kind: 'found', value: value[name] } : ABSENT;
}

/** An object of JSON, no list. */
export function isObject(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
