import { SHORT_NAME_MAX } from '../contract/text.ts';

/** A name that fits the live screen: the first word that does, else the beginning. */
export function shortNameOf(name: string): string {
  const words = name.trim().split(/\s+/);
  const all = words.join(' ');
  if (all.length <= SHORT_NAME_MAX) return all;
  return words.find((word) => word.length <= SHORT_NAME_MAX) ?? all.slice(0, SHORT_NAME_MAX);
}
