/** OURS: what a thermometer says fits in a few levels; deeper is an attack or a mistake. */
export const MAX_DEPTH = 16;

const QUOTE = 0x22;
const BACKSLASH = 0x5c;
const OPEN_ARRAY = 0x5b;
const CLOSE_ARRAY = 0x5d;
const OPEN_OBJECT = 0x7b;
const CLOSE_OBJECT = 0x7d;

/** Whether arrays and objects of a JSON text lie more than `MAX_DEPTH` deep, before it is parsed; brackets in strings do not count. */
export function isJsonTooDeep(text: string): boolean {
  if (text.length <= MAX_DEPTH) return false;
  let depth = 0;
  for (let i = 0; i < text.length; i++) {
    const code = text.charCodeAt(i);
    if (code === QUOTE) i = endOfString(text, i);
    else if (code === OPEN_ARRAY || code === OPEN_OBJECT) {
      if (++depth > MAX_DEPTH) return true;
    } else if (code === CLOSE_ARRAY || code === CLOSE_OBJECT) depth--;
  }
  return false;
}

function endOfString(text: string, start: number): number {
  for (let i = start + 1; i < text.length; i++) {
    const code = text.charCodeAt(i);
    if (code === BACKSLASH) i++;
    else if (code === QUOTE) return i;
  }
  return text.length;
}

/** Major types of CBOR: RFC 8949 (2020) section 3.1. */
const BYTES = 2;
const TEXT = 3;
const ARRAY = 4;
const MAP = 5;
const TAG = 6;
const SIMPLE = 7;
/** Additional information: up to 23 the value itself, 24 to 27 how many bytes follow, 31 indefinite. RFC 8949 section 3. */
const ONE_BYTE = 24;
const EIGHT_BYTES = 27;
const INDEFINITE = 31;

type Head = { end: number; items: number; isMap: boolean; isBreak: boolean };
/** An array, map or tag that is not complete: items still to come, and items that came. */
type Open = { left: number; came: number; isMap: boolean };

/**
 * Whether arrays, maps and tags of a CBOR item lie more than `MAX_DEPTH` deep, before it is decoded. It looks at the heads
 * alone, and stops without complaint where the bytes are no CBOR: that is for the decoder to say.
 */
export function isCborTooDeep(bytes: Uint8Array): boolean {
  const open: Open[] = [];
  let at = 0;
  while (at < bytes.length) {
    const head = headAt(bytes, at);
    if (head === null) return false;
    at = head.end;
    if (head.isBreak && endsHere(open.at(-1))) open.pop();
    else if (head.items > 0) {
      if (open.push({ left: head.items, came: 0, isMap: head.isMap }) > MAX_DEPTH) return true;
      continue;
    }
    if (closeFull(open)) return false;
  }
  return false;
}

/** A break in any other place is taken for an item, so that a decoder that lets it pass cannot be led deeper than was looked. */
function endsHere(innermost: Open | undefined): boolean {
  if (innermost?.left !== Infinity) return false;
  return !innermost.isMap || innermost.came % 2 === 0;
}

/** Counts one finished item in the innermost container and closes those that are full; true when nothing is left open. */
function closeFull(open: Open[]): boolean {
  for (let last = open.at(-1); last !== undefined; last = open.at(-1)) {
    last.came++;
    if (--last.left > 0) return false;
    open.pop();
  }
  return true;
}

function headAt(bytes: Uint8Array, at: number): Head | null {
  const first = bytes[at] ?? 0;
  const major = first >> 5;
  const info = first & 31;
  if (info > EIGHT_BYTES && info !== INDEFINITE) return null;
  const extra = info < ONE_BYTE || info === INDEFINITE ? 0 : 2 ** (info - ONE_BYTE);
  const value = info === INDEFINITE ? Infinity : info < ONE_BYTE ? info : bigEndian(bytes, at + 1, extra);
  const end = at + 1 + extra;
  const items = (count: number): Head => ({ end, items: count, isMap: major === MAP, isBreak: false });
  switch (major) {
    case BYTES:
    case TEXT:
      // the pieces of an indefinite string are items that a break ends, like an array's
      return info === INDEFINITE ? items(Infinity) : { ...items(0), end: end + value };
    case ARRAY:
      return items(value);
    case MAP:
      return items(2 * value);
    case TAG:
      return info === INDEFINITE ? null : items(1);
    case SIMPLE:
      return { ...items(0), isBreak: info === INDEFINITE };
    default:
      return info === INDEFINITE ? null : items(0);
  }
}

function bigEndian(bytes: Uint8Array, at: number, length: number): number {
  let value = 0;
  for (let i = 0; i < length; i++) value = value * 256 + (bytes[at + i] ?? 0);
  return value;
}
