import { parentOf } from './payload-tree.ts';
import type { PayloadNode, PayloadView } from './payload-tree.ts';
import type { Meaning, NameChoice, RuleDraft } from './rule-draft.ts';

const FAHRENHEIT = /^(?:f|degf|°f|fahrenheit)$/i;
const KELVIN = /^(?:k|kelvin)$/i;
const UNIT_NAME = /unit|scale/i;
const ID_NAME = /^(?:id|name|sensor|probe|device)$|_id$|id$/i;

/** A unit that stands beside the value tells what it is; else the topic may, as its last level. */
function likelyMeaning(topic: string, parent: PayloadNode | null): Meaning {
  const told = (parent?.members ?? [])
    .filter(({ name, kind }) => kind === 'text' && UNIT_NAME.test(name ?? ''))
    .map(({ text }) => text);
  const last = topic.split('/').at(-1) ?? '';
  const hints = [...told, ...(last.length <= 4 ? [last] : [])];
  if (hints.some((hint) => FAHRENHEIT.test(hint.trim()))) return 'fahrenheit';
  return hints.some((hint) => KELVIN.test(hint.trim())) ? 'kelvin' : 'celsius';
}

/** A name beside the value, the value's own name among other numbers, or the topic. */
function likelyName(topic: string, at: string, parent: PayloadNode | null): NameChoice {
  const level = Math.max(0, topic.split('/').length - (isUnitLevel(topic) ? 2 : 1));
  const byTopic: NameChoice = { from: 'topic', level, isForAll: true };
  if (parent === null) return byTopic;
  const id = parent.members.find(({ name, kind }) => kind === 'text' && ID_NAME.test(name ?? ''));
  if (id !== undefined) return { from: 'json', at: id.pointer };
  const numbers = parent.members.filter(({ decimal, times }) => decimal !== null && times.length === 0);
  const own = parent.members.find(({ pointer }) => pointer === at)?.name;
  if (own != null && numbers.length > 1 && parent.pointer !== '')
    return { from: 'key', parent: parent.pointer, keys: [own] };
  return byTopic;
}

function isUnitLevel(topic: string): boolean {
  const last = topic.split('/').at(-1) ?? '';
  return FAHRENHEIT.test(last) || KELVIN.test(last) || /^(?:c|state|raw|value|temperature|temp)$/i.test(last);
}

/** What a rule for a picked value most likely is; a person looks at every part of it. */
export function startDraft(
  topic: string,
  view: Extract<PayloadView, { root: PayloadNode }>,
  picked: PayloadNode,
): RuleDraft {
  const parent = parentOf(view.root, picked.pointer);
  return {
    topic,
    format: view.kind,
    at: picked.pointer,
    decimal: picked.decimal ?? '.',
    meaning: likelyMeaning(topic, parent),
    scale: '1',
    coldC: '25',
    r0Ohm: '',
    beta: '',
    name: likelyName(topic, picked.pointer, parent),
    time: null,
    batteryAt: '',
  };
}
