const MAX_PATTERN = 100; // OURS
/** OURS: with the start of the search, two places that can give way to each other; more are slow in one long name. */
const MAX_REPEATS = 2;
/** OURS: brackets with alternatives behind each other multiply. */
const MAX_WAYS = 64;

type Shape = {
  /** Of `*`, `+`, `?` and `{n}` outside of classes. */
  repeats: number;
  /** A repeat of a group in brackets. */
  groupRepeated: boolean;
  /** Back to what a group matched, `\1` or `\k<x>`. */
  isBackward: boolean;
  /** At most so many ways to choose among the alternatives. */
  ways: number;
};

/** One letter or one class of letters of an expression, with the letter of what refers back in its only group. */
const ONE_LETTER = /\\[pPu]\{[^}]*\}|\\([^])|\[(?:\\[^]|[^\]\\])*\]/g;

function shapeOf(pattern: string): Shape {
  const shape: Shape = { repeats: 0, groupRepeated: false, isBackward: false, ways: 1 };
  const plain = pattern.replace(ONE_LETTER, (_all, escaped: string | undefined) => {
    if (escaped !== undefined && /[1-9k]/.test(escaped)) shape.isBackward = true;
    return 'x';
  });
  const alternatives = [1];
  let before = '';
  for (const char of plain) {
    if (char === '(') alternatives.push(1);
    else if (char === '|') alternatives.push((alternatives.pop() ?? 0) + 1);
    else if (char === ')') shape.ways *= alternatives.pop() ?? 1;
    else if (/[*+?{]/.test(char) && before !== '(' && !/[*+?}]/.test(before)) {
      shape.repeats += 1;
      if (before === ')' && char !== '?') shape.groupRepeated = true;
    }
    before = char;
  }
  shape.ways *= alternatives.pop() ?? 1;
  return shape;
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
  const { repeats, groupRepeated, isBackward, ways } = shapeOf(pattern);
  if (groupRepeated) return 'must not repeat a group in brackets (that can take for ever)';
  if (isBackward) return 'must not refer back to a group in brackets (that can take for ever)';
  if (repeats > MAX_REPEATS) return `must have at most ${MAX_REPEATS} of * + ? { } (more can take for ever)`;
  if (ways > MAX_WAYS) return `must have at most ${MAX_WAYS} ways through its alternatives (a|b)`;
  return null;
}

/**
 * At most about so many steps take to search for a pattern in a name: each repeat, and the start, is some place of the name,
 * one after the other.
 */
export function searchSteps(pattern: string, nameLength: number): number {
  const { repeats, ways } = shapeOf(pattern);
  let steps = ways;
  for (let i = 1; i <= repeats + 1; i += 1) steps *= (nameLength + i) / i;
  return steps;
}
