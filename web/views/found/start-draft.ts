import { ID_NAME, unitBeside } from './others-like.ts';
import { parentOf } from './payload-tree.ts';
import type { PayloadNode, PayloadView } from './payload-tree.ts';
import { unitNamed } from './rule-draft.ts';
import type { Meaning, NameChoice, RuleDraft } from './rule-draft.ts';

/** The topic may tell the unit, as its last level. */
function likelyMeaning(topic: string): Meaning {
  const last = topic.split('/').at(-1) ?? '';
  const unit = last.length <= 4 ? unitNamed(last) : null;
  if (unit === 'degF') return 'fahrenheit';
  return unit === 'K' ? 'kelvin' : 'celsius';
}

/** A unit that stands beside the value, where its text is one that is known. */
function toldUnit(root: PayloadNode, at: string): RuleDraft['told'] {
  const beside = unitBeside(root, at);
  return beside === null || unitNamed(beside.text) === null
    ? null
    : { at: beside.pointer, text: beside.text };
}

/** A name beside the value, the value's own name among other numbers, or the topic; never for more than its topic. */
function likelyName(topic: string, at: string, parent: PayloadNode | null): NameChoice {
  const level = Math.max(0, topic.split('/').length - (isUnitLevel(topic) ? 2 : 1));
  const byTopic: NameChoice = { from: 'topic', level, isForAll: false };
  if (parent === null) return byTopic;
  const id = parent.members.find(({ name, kind }) => kind === 'text' && ID_NAME.test(name ?? ''));
  if (id !== undefined) return { from: 'json', at: id.pointer };
  const numbers = parent.members.filter(({ decimal, times }) => decimal !== null && times.length === 0);
  const own = parent.members.find(({ pointer }) => pointer === at)?.name;
  if (own != null && numbers.length > 1 && parent.pointer !== '')
    return { from: 'key', parent: parent.pointer, keys: [own], below: '', isWhole: false };
  return byTopic;
}

function isUnitLevel(topic: string): boolean {
  const last = topic.split('/').at(-1) ?? '';
  return unitNamed(last) !== null || /^(?:state|raw|value|temperature|temp)$/i.test(last);
}

/** What a rule for a picked value most likely is; a person looks at every part of it. */
export function startDraft(
  topic: string,
  view: Extract<PayloadView, { root: PayloadNode }>,
  picked: PayloadNode,
): RuleDraft {
  const parent = parentOf(view.root, picked.pointer);
  const told = toldUnit(view.root, picked.pointer);
  return {
    topic,
    format: view.kind,
    at: picked.pointer,
    decimal: picked.decimal ?? '.',
    meaning: told === null ? likelyMeaning(topic) : 'told',
    told,
    scale: '1',
    coldC: '25',
    r0Ohm: '',
    beta: '',
    name: likelyName(topic, picked.pointer, parent),
    time: null,
    batteryAt: '',
  };
}
