import { filterCovers } from './mapping/topic-match.ts';

/**
 * The filters to subscribe to so that each message comes once: a broker may send one copy for every filter that
 * matches (MQTT 5, 3.3.4), and two copies of a number without a time cannot be told from two readings.
 * Filters that overlap are therefore replaced by one that covers both; what it matches beyond them is not ours.
 *
 * @param filters  valid topic filters
 * @returns filters of which no two match the same topic, and which together match all that the given ones do
 */
export function withoutOverlaps(filters: readonly string[]): string[] {
  let set: string[] = [];
  for (const filter of filters) {
    let wide = filter;
    // a wider filter may overlap with what the narrower one did not
    for (let other = overlapping(set, wide); other !== undefined; other = overlapping(set, wide)) {
      set = set.filter((f) => f !== other);
      wide = coverOf(wide, other);
    }
    set.push(wide);
  }
  return set;
}

function overlapping(set: readonly string[], filter: string): string | undefined {
  return set.find((other) => overlap(filter.split('/'), other.split('/')));
}

function overlap(a: readonly string[], b: readonly string[]): boolean {
  if (isSystem(a) !== isSystem(b)) return false;
  for (let i = 0; ; i += 1) {
    const [x, y] = [a[i], b[i]];
    if (x === '#' || y === '#' || (x === undefined && y === undefined)) return true;
    if (x === undefined || y === undefined) return false;
    if (x !== y && x !== '+' && y !== '+') return false;
  }
}

/** A filter that begins with a wildcard does not match topics that begin with `$` (MQTT 5, 4.7.2-1). */
function isSystem([first]: readonly string[]): boolean {
  return first?.startsWith('$') === true;
}

function coverOf(a: string, b: string): string {
  if (filterCovers(a, b)) return a;
  if (filterCovers(b, a)) return b;
  const [x, y] = [a.split('/'), b.split('/')];
  const out: string[] = [];
  for (let i = 0; i < Math.max(x.length, y.length); i += 1) {
    const [p, q] = [x[i], y[i]];
    if (p === undefined || q === undefined || p === '#' || q === '#') return [...out, '#'].join('/');
    out.push(p === q ? p : '+');
  }
  return out.join('/');
}
