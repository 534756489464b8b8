const MAX_PATTERN = 100; // OURS
/**
 * OURS. A search for a match tries at most about 64^3 / 6 ways (names are cut at 64 characters), 44,000 steps, so that
 * no pattern can hold the server up, whatever a device sends.
 */
const MAX_REPEATS = 3;

type Count = { repeats: number; groupRepeated: boolean };

/** Repeats of a regular expression: `*`, `+`, `?`, `{n}` outside of classes, and whether one of them repeats a group. */
function countRepeats(pattern: string): Count {
  const count: Count = { repeats: 0, groupRepeated: false };
  let inClass = false;
  let before = '';
  for (let i = 0; i < pattern.length; i += 1) {
    const char = pattern[i] ?? '';
    if (char === '\\') {
      i += 1;
      before = 'x';
      continue;
    }
    if (inClass) {
      if (char === ']') inClass = false;
    } else if (char === '[') inClass = true;
    else if (/[*+?{]/.test(char) && before !== '(' && !/[*+?}]/.test(before)) {
      count.repeats += 1;
      if (before === ')' && char !== '?') count.groupRepeated = true;
    }
    before = char;
  }
  return count;
}

/** What is wrong with a regular expression for names of members, or null. */
export function keyPatternProblem(pattern: string): string | null {
  if (pattern === '') return 'must not be empty';
  if (pattern.length > MAX_PATTERN) return `must have at most ${MAX_PATTERN} characters`;
  try {
    new RegExp(pattern, 'u');
  } catch {
    return 'must be a regular expression such as ^ch[0-9]+$'; // the only way the language tells
  }
  const { repeats, groupRepeated } = countRepeats(pattern);
  if (groupRepeated) return 'must not repeat a group in brackets (that can take for ever)';
  if (repeats > MAX_REPEATS) return `must have at most ${MAX_REPEATS} of * + ? { } (more can take for ever)`;
  return null;
}
