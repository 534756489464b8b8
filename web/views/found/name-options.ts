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
    case 'const':
      return name.from;
  }
}

type NameOption = { value: string; words: string; name: NameChoice };

/** Everything in the topic and in the message that may name the probe. */
export function nameOptions({ topic, at, name }: RuleDraft, root: PayloadNode): NameOption[] {
  const levels = topic.split('/').map((level, index): NameOption => {
    const choice: NameChoice = { from: 'topic', level: index, isForAll: true };
    return { value: nameKey(choice), words: `Level ${index + 1} of the topic: ${level}`, name: choice };
  });
  const parent = parentOf(root, at);
  const own = parent?.members.find(({ pointer }) => pointer === at)?.name ?? null;
  const key: NameOption[] =
    parent === null || own === null
      ? []
      : [
          {
            value: 'key',
            words:
              parent.kind === 'list' ? `Its place in the list: ${own}` : `Its name in the message: ${own}`,
            name: { from: 'key', parent: parent.pointer, keys: [own] },
          },
        ];
  const texts = leavesOf(root)
    .filter(({ pointer, kind }) => pointer !== at && (kind === 'text' || kind === 'number'))
    .map((node): NameOption => {
      const choice: NameChoice = { from: 'json', at: node.pointer };
      return { value: nameKey(choice), words: `The message at ${node.pointer}: ${node.text}`, name: choice };
    });
  const typed: NameChoice = name.from === 'const' ? name : { from: 'const', value: '' };
  return [...key, ...levels, ...texts, { value: 'const', words: 'I type it', name: typed }];
}

/** Numbers that stand beside the value and may be probes of the same device. */
export function neighbours(root: PayloadNode, at: string): string[] {
  const parent = parentOf(root, at);
  return (parent?.members ?? [])
    .filter(({ decimal, kind, members }) => members.length === 0 && (decimal !== null || kind === 'other'))
    .map(({ name }) => name ?? '');
}
