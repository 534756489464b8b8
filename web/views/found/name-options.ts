import { ID_NAME, othersLike } from './others-like.ts';
import type { OthersLike } from './others-like.ts';
import { leavesOf, parentOf } from './payload-tree.ts';
import type { PayloadNode } from './payload-tree.ts';
import type { NameChoice, RuleDraft } from './rule-draft.ts';

/** A choice as the value of a select; `nameOptions` has them all. */
export function nameKey(name: NameChoice): string {
  switch (name.from) {
    case 'topic':
      return `topic ${name.level}`;
    case 'json':
      return `json ${name.at}`;
    case 'key':
      return name.below === '' ? 'key' : 'each';
    case 'member':
      return `each ${name.at}`;
    case 'const':
      return 'const';
  }
}

type NameOption = { value: string; words: string; name: NameChoice };

/** What may name a probe in a message: texts that are no number, time or unit, and numbers that are called a name. */
function isName({ kind, decimal, times, name }: PayloadNode): boolean {
  if (kind !== 'text' && kind !== 'number') return false;
  if (ID_NAME.test(name ?? '')) return true;
  return decimal === null && kind === 'text' && times.length === 0 && !/unit|scale/i.test(name ?? '');
}

function ownOption(root: PayloadNode, at: string): NameOption[] {
  const parent = parentOf(root, at);
  const own = parent?.members.find(({ pointer }) => pointer === at)?.name ?? null;
  if (parent === null || own === null) return [];
  const words = parent.kind === 'list' ? `Its place in the list: ${own}` : `Its name in the message: ${own}`;
  const name: NameChoice = { from: 'key', parent: parent.pointer, keys: [own], below: '', isWhole: false };
  return [{ value: 'key', words, name }];
}

/** The name of each, where the picked value has others like it. */
export function namesOfEach(like: OthersLike): NameChoice[] {
  const { parent, keys, below, isWhole, idBelow } = like;
  const each = { parent, keys, below, isWhole };
  const byKey: NameChoice = { from: 'key', ...each };
  return idBelow === null ? [byKey] : [{ from: 'member', at: idBelow, ...each }, byKey];
}

function eachOptions(like: OthersLike | null): NameOption[] {
  // those that only stand beside it are ticked one by one
  if (like === null || like.below === '') return [];
  const keyWords = like.isList ? 'The place of each in the list' : 'The name of each in the message';
  return namesOfEach(like).map((name) => ({
    value: nameKey(name),
    words: name.from === 'member' ? `In each at ${name.at}` : `${keyWords}: ${like.keys.join(', ')}`,
    name,
  }));
}

/** Everything in the topic and in the message that may name the probe. */
export function nameOptions({ topic, at, name }: RuleDraft, root: PayloadNode): NameOption[] {
  const levels = topic.split('/').map((level, index): NameOption => {
    const choice: NameChoice = { from: 'topic', level: index, isForAll: false };
    return { value: nameKey(choice), words: `Level ${index + 1} of the topic: ${level}`, name: choice };
  });
  const texts = leavesOf(root)
    .filter((node) => node.pointer !== at && isName(node))
    .map((node): NameOption => {
      const choice: NameChoice = { from: 'json', at: node.pointer };
      return { value: nameKey(choice), words: `The message at ${node.pointer}: ${node.text}`, name: choice };
    });
  const typed: NameChoice = name.from === 'const' ? name : { from: 'const', value: '' };
  return [
    ...eachOptions(othersLike(root, at)),
    ...ownOption(root, at),
    ...levels,
    ...texts,
    { value: 'const', words: 'I type it', name: typed },
  ];
}

/** Numbers that stand beside the value and may be probes of the same device. */
export function neighbours(root: PayloadNode, at: string): string[] {
  const parent = parentOf(root, at);
  return (parent?.members ?? [])
    .filter(({ decimal, kind, members }) => members.length === 0 && (decimal !== null || kind === 'other'))
    .map(({ name }) => name ?? '');
}
