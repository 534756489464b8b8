import { SHORT_NAME_MAX } from '../../../server/contract/text.ts';

/** As many whole letters as fit, an accent or a joined sign never cut in two. */
function firstLetters(word: string): string {
  let fitting = '';
  for (const { segment } of new Intl.Segmenter('en').segment(word)) {
    if (fitting.length + segment.length > SHORT_NAME_MAX) break;
    fitting += segment;
  }
  return fitting;
}

/** Whole words while they fit into a row of the live screen, else the first letters of the first word. */
export function shortName(name: string): string {
  const [first = '', ...others] = name.trim().split(/\s+/);
  if (first.length > SHORT_NAME_MAX) return firstLetters(first);
  let short = first;
  for (const word of others) {
    const longer = `${short} ${word}`;
    if (longer.length > SHORT_NAME_MAX) break;
    short = longer;
  }
  return short.replace(/[,;:]$/, '');
}

/** The short name as typed, or made from the name while none is typed. */
export function shortOf({ name, short }: { name: string; short: string }): string {
  return short.trim() === '' ? shortName(name) : short.trim();
}

/** What is sent: nothing while there is no name to make it from, so that only the name is complained of. */
export function sentShort(draft: { name: string; short: string }): { short?: string } {
  const short = shortOf(draft);
  return short === '' ? {} : { short };
}
