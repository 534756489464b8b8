/**
 * Whether two MQTT topic filters have a topic in common (MQTT 5 section 4.7); a topic is a filter without `+` and `#`.
 * Pure.
 */
export function overlaps(one: string, other: string): boolean {
  const [a, b] = [one.split('/'), other.split('/')];
  if ((isWild(a[0]) && b[0]?.startsWith('$')) || (isWild(b[0]) && a[0]?.startsWith('$'))) return false;
  for (let index = 0; ; index += 1) {
    const [left, right] = [a[index], b[index]];
    if (left === '#' || right === '#') return true;
    // the level above a # is matched by it too
    if (left === undefined) return right === undefined || b[index] === '#';
    if (right === undefined) return false;
    if (left !== '+' && right !== '+' && left !== right) return false;
  }
}

function isWild(level: string | undefined): boolean {
  return level === '+' || level === '#';
}

/** Whether a filter may match more than one topic. */
export function isWide(filter: string): boolean {
  return filter.split('/').some(isWild);
}
