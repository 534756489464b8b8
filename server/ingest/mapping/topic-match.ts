/*
 * Topic filters as MQTT 5 section 4.7 reads them: `+` is one whole level, which may be empty, `#` the rest and also the
 * level above it; a filter that begins with either does not match topics that begin with `$`.
 */

/** Whether a topic matches a filter that is valid. */
export function topicMatches(filter: string, topic: string): boolean {
  return matchLevels(filter.split('/'), topic.split('/'));
}

/** Whether every topic that `inner` matches is matched by `outer` too; both are valid filters. */
export function filterCovers(outer: string, inner: string): boolean {
  const [outside, inside] = [outer.split('/'), inner.split('/')];
  // the level above a # is matched by it: "a/#" also means "a", which "a/+/#" does not
  if (inside.at(-1) === '#' && outside.at(-1) !== '#') return false;
  return matchLevels(outside, inside);
}

function matchLevels(filter: readonly string[], levels: readonly string[]): boolean {
  const first = filter[0];
  if ((first === '#' || first === '+') && levels[0]?.startsWith('$') === true) return false;
  for (const [index, level] of filter.entries()) {
    if (level === '#') return true;
    const there = levels[index];
    if (there === undefined || there === '#') return false;
    if (level !== '+' && level !== there) return false;
  }
  return filter.length === levels.length;
}
