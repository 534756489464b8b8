const MAX_FILTER = 200; // OURS: longer than any device needs, short enough for a screen

/**
 * What is wrong with an MQTT topic filter, or null. MQTT 5 sections 4.7.1 and 4.7.3: at least one character, no NUL,
 * `#` only alone in the last level, `+` only alone in a level. Shared subscriptions are refused: one writer, no sharing.
 */
export function filterProblem(filter: string): string | null {
  if (filter === '') return 'must not be empty';
  if (filter.length > MAX_FILTER) return `must have at most ${MAX_FILTER} characters`;
  if (filter.includes('\0')) return 'must not contain the character NUL';
  if (filter.startsWith('$share/')) return 'must not be a shared subscription';
  const levels = filter.split('/');
  for (const [index, level] of levels.entries()) {
    if (level.includes('#') && (level !== '#' || index !== levels.length - 1))
      return '# may only stand alone in the last level';
    if (level.includes('+') && level !== '+') return '+ may only stand alone in a level';
  }
  return null;
}
