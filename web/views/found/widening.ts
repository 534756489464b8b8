import type { MappingDocument } from '../../../server/contract/mapping.ts';
import { overlaps } from './filters.ts';
import { leavesOf, payloadView } from './payload-tree.ts';
import { wideFilterOf } from './rule-draft.ts';
import type { RuleDraft } from './rule-draft.ts';

/** A topic that was heard, with the beginning of its last message where that is text. */
export type HeardTopic = { topic: string; payloadText: string | null };

/** What a rule for every name at a level of the topic would do. */
export type Widening =
  /** `others`: topics heard that it would read too. */
  { kind: 'offered'; filter: string; others: readonly string[] } | { kind: 'refused'; why: string };

const BUILT_IN = 'tongside';

function hasNumberAt({ payloadText }: HeardTopic, at: string): boolean {
  const view = payloadView(payloadText ?? '');
  if (view.kind === 'text') return false;
  return leavesOf(view.root).some(({ pointer, decimal }) => pointer === at && decimal !== null);
}

/**
 * Whether a rule may be meant for every name at the level that names the probe. Never for the built-in topics, never
 * where another rule reads one of them, and only while every topic heard that it would take has a number at the place.
 */
export function wideningOf(
  draft: RuleDraft,
  heard: readonly HeardTopic[],
  rules: MappingDocument['rules'],
): Widening | null {
  if (draft.name.from !== 'topic') return null;
  const filter = wideFilterOf(draft.topic, draft.name.level);
  if (draft.topic.split('/')[0] === BUILT_IN)
    return { kind: 'refused', why: `On ${BUILT_IN}/ a rule is for this topic alone.` };
  const rule = rules.find((other) => overlaps(other.filter, filter));
  if (rule !== undefined)
    return { kind: 'refused', why: `For this topic alone: rule ${rule.id} reads ${rule.filter}.` };
  const taken = heard.filter(({ topic }) => topic !== draft.topic && overlaps(filter, topic));
  const unlike = taken.find((topic) => !hasNumberAt(topic, draft.at));
  if (unlike !== undefined) {
    const where = draft.at === '' ? 'is no number' : `has no number at ${draft.at}`;
    return { kind: 'refused', why: `For this topic alone: the last message of ${unlike.topic} ${where}.` };
  }
  return { kind: 'offered', filter, others: taken.map(({ topic }) => topic) };
}

/** A draft that was meant to be wide, once that is no longer offered, is for its topic alone. */
export function narrowed(draft: RuleDraft, widening: Widening | null): RuleDraft {
  if (draft.name.from !== 'topic' || widening?.kind !== 'refused') return draft;
  return { ...draft, name: { ...draft.name, isForAll: false } };
}

/** What a rule takes from others that read the same topics, in words; it goes before the wide ones. */
export function overlapLines(filter: string, rules: MappingDocument['rules']): string[] {
  return rules
    .filter((other) => overlaps(other.filter, filter))
    .map((other) =>
      other.filter === filter
        ? `Rule ${other.id} reads this topic too. The new one comes first: ${other.id} reads nothing any more.`
        : `Rule ${other.id} reads ${other.filter}, so this topic too. The new one takes this topic from it; the others stay with ${other.id}.`,
    );
}
