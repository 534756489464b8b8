import { describe, expect, it } from 'vitest';
import { parseMapping } from '../../server/contract/mapping-problems.ts';
import { isWide, overlaps } from '../../web/views/found/filters.ts';
import { withNewFirst } from '../../web/views/found/found-order.ts';
import { nameOptions, namesOfEach } from '../../web/views/found/name-options.ts';
import { othersLike, unreadNumbers } from '../../web/views/found/others-like.ts';
import { leavesOf, payloadView } from '../../web/views/found/payload-tree.ts';
import type { PayloadNode } from '../../web/views/found/payload-tree.ts';
import { filterOf, readPlaces, ruleOf, withRule } from '../../web/views/found/rule-draft.ts';
import type { RuleDraft } from '../../web/views/found/rule-draft.ts';
import { scaleDoubt } from '../../web/views/found/scale-doubt.ts';
import { startDraft } from '../../web/views/found/start-draft.ts';
import { narrowed, overlapLines, wideningOf } from '../../web/views/found/widening.ts';
import { detailWords } from '../../web/views/reject-words.ts';

type Picked = { draft: RuleDraft; root: PayloadNode };

function pick(topic: string, text: string, pointer: string): Picked {
  const view = payloadView(text);
  if (view.kind === 'text') throw new Error(`not taken apart: ${text}`);
  const node = leavesOf(view.root).find((one) => one.pointer === pointer);
  if (node === undefined) throw new Error(`nothing at ${pointer}`);
  return { draft: startDraft(topic, view, node), root: view.root };
}
const heard = (topic: string, payloadText: string | null) => ({ topic, payloadText });
const isTaken = (draft: RuleDraft) =>
  parseMapping(withRule({ version: 1, rules: [] }, ruleOf(draft, 'mine'))).ok;

function forEach({ draft, root }: Picked): RuleDraft {
  const like = othersLike(root, draft.at);
  const [name] = like === null ? [] : namesOfEach(like);
  if (name === undefined) throw new Error('no others like it');
  return { ...draft, name };
}

describe('a rule made with a press and all defaults', () => {
  it.each([
    ['tongside/reading/F2', '{"value":150,"unit":"F"}', '/value'],
    ['kitchen/a', '{"temp":63}', '/temp'],
    ['kitchen/a/temp', '63', ''],
  ])('reads its own topic and no other: %s', (topic, text, at) => {
    expect(filterOf(pick(topic, text, at).draft)).toBe(topic);
  });

  it.each([
    ['F', 'degF'],
    ['°F', 'degF'],
    ['celsius', 'Cel'],
    ['kelvin', 'K'],
  ])('takes the unit that stands beside the value, in every spelling that is usual: %s', (text, unit) => {
    const { draft } = pick('tongside/reading/F2', `{"value":150,"unit":"${text}"}`, '/value');
    const map = { C: 'Cel', F: 'degF', K: 'K', [text]: unit };
    expect(ruleOf(draft, 'mine').values).toEqual([
      { at: '/value', quantity: 'temperature', unit: { from: 'json', at: '/unit', map } },
    ]);
    expect(isTaken(draft)).toBe(true);
  });

  it('takes no unit from a text that names none', () => {
    expect(pick('a', '{"value":150,"unit":"counts"}', '/value').draft).toMatchObject({
      told: null,
      meaning: 'celsius',
    });
  });
});

describe('the same for every other name at a level of the topic', () => {
  const { draft } = pick('kitchen/a', '{"temp":63}', '/temp');
  const named = { ...draft, name: { from: 'topic', level: 1, isForAll: true } } as const;
  const rule = (filter: string) => ({ ...ruleOf(draft, 'old'), filter });

  it('is offered with the topics that it takes, where each has a number at the same place', () => {
    expect(wideningOf(named, [heard('kitchen/a', null), heard('kitchen/b', '{"temp":4}')], [])).toEqual({
      kind: 'offered',
      filter: 'kitchen/+',
      others: ['kitchen/b'],
    });
  });

  it.each([
    ['has no number there', [heard('kitchen/b', '{"celsius":4}')], []],
    ['is no text', [heard('kitchen/b', null)], []],
    ['is read by another rule', [], [rule('kitchen/b')]],
    ['is read by a wide rule', [], [rule('kitchen/+')]],
  ])('is refused where another topic %s, and then means this topic alone', (_what, others, rules) => {
    const widening = wideningOf(named, others, rules);
    expect(widening).toMatchObject({ kind: 'refused' });
    expect(filterOf(narrowed(named, widening))).toBe('kitchen/a');
  });

  it('is never offered on the built-in topics', () => {
    const own = pick('tongside/reading/F2', '{"value":150}', '/value').draft;
    expect(wideningOf(own, [], [])).toMatchObject({ kind: 'refused' });
  });

  it('says which rule gives up what to the new one', () => {
    expect(overlapLines('kitchen/a', [rule('kitchen/+'), rule('cellar/+')])).toEqual([
      'Rule old reads kitchen/+, so this topic too. The new one takes this topic from it; the others stay with old.',
    ]);
    expect(overlapLines('kitchen/a', [rule('kitchen/a')])[0]).toContain('old reads nothing any more');
  });
});

describe('topic filters with a topic in common', () => {
  // MQTT 5 sections 4.7.1 and 4.7.2
  it.each([
    ['a/b', 'a/b', true],
    ['a/b', 'a/c', false],
    ['a/+', 'a/b', true],
    ['a/+', 'a/b/c', false],
    ['a/#', 'a', true],
    ['a', 'a/#', true],
    ['+/b', 'a/+', true],
    ['+/b', 'a/c', false],
    ['a/+/c', 'a/b/+', true],
    ['#', '$SYS/x', false],
    ['$SYS/#', '+/x', false],
    ['a', 'a/b', false],
  ])('%s and %s: %s', (one, other, expected) => {
    expect(overlaps(one, other)).toBe(expected);
    expect(overlaps(other, one)).toBe(expected);
  });

  it('are wide with a + or a # as a level', () => {
    expect(['a/b', 'a+/b', 'a/+', '#'].map(isWide)).toEqual([false, false, true, true]);
  });
});

describe('several probes in one message', () => {
  it('in a list are read with one rule, each by its own name', () => {
    const picked = pick(
      'yard/box',
      '{"probes":[{"id":"a","temp":63},{"id":"b","temp":4}]}',
      '/probes/0/temp',
    );
    const draft = forEach(picked);
    expect(ruleOf(draft, 'mine')).toMatchObject({
      filter: 'yard/box',
      sensor: { from: 'member', at: '/id' },
      values: [{ at: '/probes', eachKey: '^[0-9]+$', below: '/temp' }],
    });
    expect(isTaken(draft)).toBe(true);
    expect(unreadNumbers(picked.root, readPlaces(draft))).toEqual([]);
  });

  it('in an object of channels are read with one rule, each by the name of its channel', () => {
    const picked = pick('yard/box', '{"ch1":{"t":63},"ch2":{"t":4},"up":{"s":9}}', '/ch1/t');
    const draft = forEach(picked);
    expect(ruleOf(draft, 'mine')).toMatchObject({
      sensor: { from: 'key' },
      values: [{ at: '', eachKey: '^(?:ch1|ch2)$', below: '/t' }],
    });
    expect(isTaken(draft)).toBe(true);
  });

  it('as plain numbers beside each other are offered, but not a battery or a time', () => {
    const { root } = pick('box', '{"t1":63,"t2":4,"batt":80,"ts":1759999990}', '/t1');
    expect(othersLike(root, '/t1')?.keys).toEqual(['t1', 't2']);
  });

  it('are told as unread while they are not taken', () => {
    const { draft, root } = pick(
      'yard/box',
      '{"probes":[{"id":"a","temp":63},{"id":"b","temp":4}]}',
      '/probes/0/temp',
    );
    expect(unreadNumbers(root, readPlaces(draft))).toEqual(['4 at /probes/1/temp']);
  });

  it('of another unit are not alike', () => {
    const { root } = pick('box', '[{"v":63,"unit":"C"},{"v":40,"unit":"F"},{"v":4,"unit":"C"}]', '/0/v');
    expect(othersLike(root, '/0/v')).toMatchObject({ keys: ['0', '2'], isWhole: false });
  });

  it('are none where only one number is', () => {
    expect(othersLike(pick('box', '{"id":"a","temp":63}', '/temp').root, '/temp')).toBeNull();
  });

  it('give no name to each other', () => {
    const { draft, root } = pick('box', '{"t1":63,"t2":4.5,"unit":"C","id":"x"}', '/t1');
    const values = nameOptions(draft, root).map(({ value }) => value);
    expect(values).toContain('json /id');
    expect(values).not.toContain('json /t2');
    expect(values).not.toContain('json /unit');
  });
});

describe('a number hotter than any fire', () => {
  it.each([
    ['{"t":635}', '0.1'],
    ['{"t":6350}', '0.01'],
    ['{"t":63500}', '0.001'],
    ['{"t":6350,"unit":"F"}', '0.1'],
  ])('%s is doubted, and smaller parts of a degree are suggested: %s', (text, scale) => {
    const { draft } = pick('a', text, '/t');
    const number = /\d+/.exec(text)?.[0] ?? '';
    expect(scaleDoubt(draft, number)).toMatchObject({ scale });
    expect(scaleDoubt({ ...draft, scale: '0.001' }, number)).toBeNull();
  });

  it('is none where it can be a fire, or is no temperature', () => {
    const { draft } = pick('a', '{"t":380}', '/t');
    expect(scaleDoubt(draft, '380')).toBeNull();
    expect(scaleDoubt({ ...draft, meaning: 'pt1000' }, '1385')).toBeNull();
  });
});

describe('the list of topics', () => {
  it('has the newest first, and those that are there stay where they are', () => {
    const first = withNewFirst(
      [],
      [
        { topic: 'a', lastMs: 1 },
        { topic: 'b', lastMs: 2 },
      ],
    );
    expect(first).toEqual(['b', 'a']);
    const later = [
      { topic: 'a', lastMs: 9 },
      { topic: 'b', lastMs: 2 },
      { topic: 'c', lastMs: 3 },
    ];
    expect(withNewFirst(first, later)).toEqual(['c', 'b', 'a']);
    expect(withNewFirst(first, [{ topic: 'a', lastMs: 9 }])).toEqual(['a']);
  });
});

describe('why a message was not read', () => {
  it('is said without the words of a program', () => {
    expect(detailWords('value: Invalid input: expected number, received null')).toBe(
      'value is nothing (null), where a number belongs',
    );
    expect(detailWords('Invalid input: expected object, received array')).toBe(
      'it is a list, where an object belongs',
    );
    expect(detailWords('/t/ch9')).toBe('/t/ch9');
  });
});
