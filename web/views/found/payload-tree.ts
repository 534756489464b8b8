import type { TimeSpec } from '../../../server/contract/mapping.ts';

export type TimeForm = Exclude<TimeSpec['as'], 'arrival'>;
export type Decimal = '.' | ',';

export type PayloadNode = {
  /** RFC 6901: '' is the whole payload. */
  pointer: string;
  /** The member's name or its place in a list; null for the whole payload. */
  name: string | null;
  /** What stands there, as it would be typed; empty for what has members. */
  text: string;
  kind: 'object' | 'list' | 'number' | 'text' | 'other';
  /** How its number is written; null when it is no number, neither as itself nor as text. */
  decimal: Decimal | null;
  /** The forms in which it may be a time, the likeliest first; none when it does not look like one. */
  times: readonly TimeForm[];
  members: readonly PayloadNode[];
};

export type PayloadView =
  | { kind: 'json'; root: PayloadNode }
  /** A bare number, with its decimal mark. */
  | { kind: 'number'; root: PayloadNode; decimal: Decimal }
  | { kind: 'text' };

/** Deeper, or more than this, is not drawn: it came from the air. OURS. */
const MAX_DEPTH = 16;
const MAX_MEMBERS = 100;

const NUMBER = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?$/i;
const COMMA_NUMBER = /^[+-]?\d+,\d+$/;
const OFFSET_TIME = /^\d{4}-\d\d-\d\d[T ]\d\d:\d\d(?::\d\d(?:\.\d+)?)?(?:Z|[+-]\d\d:\d\d)$/i;
const LOCAL_TIME = /^\d{4}-\d\d-\d\d[T ]\d\d:\d\d(?::\d\d(?:\.\d+)?)?$/;
// whole words only: "voltage" is no age, and "cup" has no uptime; a bare "t" is as often a temperature
const AGE_NAME = /(?:^|[_-])ag(?:e|o)|A(?:ge|go)(?![a-z])/;
const UPTIME_NAME = /^up$|up_?time|boot|millis/i;
const TIME_NAME = /^ts$|time|when|date|stamp/i;
/** OURS: a device counts its first ten seconds in ms for a moment only; so small a count is one of seconds. */
const SMALL_COUNT = 10_000;

/** A step of a JSON pointer, with `~` and `/` written as RFC 6901 section 3 asks. */
export function pointerTo(parent: string, name: string): string {
  return `${parent}/${name.replaceAll('~', '~0').replaceAll('/', '~1')}`;
}

export function decimalOf(text: string): Decimal | null {
  const typed = text.trim();
  if (NUMBER.test(typed)) return '.';
  return COMMA_NUMBER.test(typed) ? ',' : null;
}

/** In which forms a number may be a moment; the size of a count since 1970 tells its unit. */
function numberTimes(value: number, name: string): TimeForm[] {
  const isNamed = TIME_NAME.test(name);
  if (AGE_NAME.test(name) && value >= 0) return ['age-s', 'age-ms', 'uptime-s', 'uptime-ms'];
  if (UPTIME_NAME.test(name) && value >= 0) return uptimes(value, name);
  if (value >= 1e8 && value < 1e11) return ['epoch-s', 'auto-epoch'];
  if (value >= 1e11 && value < 1e14) return ['epoch-ms', 'auto-epoch'];
  if (value >= 1e14 && value < 1e17) return ['epoch-us', 'auto-epoch'];
  return isNamed && value >= 0 ? ['age-s', 'age-ms', 'uptime-s', 'uptime-ms'] : [];
}

function uptimes(value: number, name: string): TimeForm[] {
  const isMs = /ms$|milli/i.test(name) || (value >= SMALL_COUNT && !/(?:_s|sec|seconds)$/i.test(name));
  return isMs ? ['uptime-ms', 'uptime-s', 'age-s', 'age-ms'] : ['uptime-s', 'uptime-ms', 'age-s', 'age-ms'];
}

function textTimes(text: string): TimeForm[] {
  if (OFFSET_TIME.test(text.trim())) return ['rfc3339'];
  return LOCAL_TIME.test(text.trim()) ? ['local'] : [];
}

function leaf(value: unknown, pointer: string, name: string | null): PayloadNode {
  const base = { pointer, name, members: [] };
  if (typeof value === 'number')
    return {
      ...base,
      kind: 'number',
      text: String(value),
      decimal: '.',
      times: numberTimes(value, name ?? ''),
    };
  if (typeof value !== 'string')
    return { ...base, kind: 'other', text: JSON.stringify(value), decimal: null, times: [] };
  const decimal = decimalOf(value);
  const asNumber = decimal === '.' ? numberTimes(Number(value), name ?? '') : [];
  return { ...base, kind: 'text', text: value, decimal, times: [...textTimes(value), ...asNumber] };
}

type Place = { pointer: string; name: string | null; depth: number };

function nodeOf(value: unknown, { pointer, name, depth }: Place): PayloadNode {
  if (typeof value !== 'object' || value === null) return leaf(value, pointer, name);
  const isList = Array.isArray(value);
  const entries = depth >= MAX_DEPTH ? [] : Object.entries(value).slice(0, MAX_MEMBERS);
  const members = entries.map(([key, inner]) =>
    nodeOf(inner, { pointer: pointerTo(pointer, key), name: key, depth: depth + 1 }),
  );
  return {
    pointer,
    name,
    text: members.length === 0 ? (isList ? '[…]' : '{…}') : '',
    kind: isList ? 'list' : 'object',
    decimal: null,
    times: [],
    members,
  };
}

/** What is to be seen in a payload. Never throws. */
export function payloadView(text: string): PayloadView {
  const parsed = jsonOf(text);
  const whole: Place = { pointer: '', name: null, depth: 0 };
  if (parsed.ok && typeof parsed.value === 'object' && parsed.value !== null)
    return { kind: 'json', root: nodeOf(parsed.value, whole) };
  const bare = parsed.ok && typeof parsed.value === 'string' ? parsed.value : text;
  const decimal = decimalOf(bare);
  if (decimal === null) return { kind: 'text' };
  return { kind: 'number', root: { ...leaf(bare, '', null), text: bare.trim(), times: [] }, decimal };
}

function jsonOf(text: string): { ok: true; value: unknown } | { ok: false } {
  try {
    const value: unknown = JSON.parse(text);
    return { ok: true, value };
  } catch {
    return { ok: false };
  }
}

/** Every node that has no members, in the order of the payload. */
export function leavesOf(node: PayloadNode): PayloadNode[] {
  return node.members.length === 0 ? [node] : node.members.flatMap(leavesOf);
}

/** The object or list in which a pointer points, and what stands beside it there. */
export function parentOf(root: PayloadNode, pointer: string): PayloadNode | null {
  if (root.members.some((member) => member.pointer === pointer)) return root;
  for (const member of root.members) {
    const found = parentOf(member, pointer);
    if (found !== null) return found;
  }
  return null;
}
