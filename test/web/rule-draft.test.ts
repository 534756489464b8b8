import { describe, expect, it } from 'vitest';
import { parseMapping } from '../../server/contract/mapping-problems.ts';
import { nameOptions } from '../../web/views/found/name-options.ts';
import { leavesOf, payloadView } from '../../web/views/found/payload-tree.ts';
import {
  MEANINGS,
  filterOf,
  keysPattern,
  ruleId,
  ruleOf,
  withRule,
} from '../../web/views/found/rule-draft.ts';
import type { RuleDraft } from '../../web/views/found/rule-draft.ts';
import { triedLines } from '../../web/views/found/rule-words.ts';
import { startDraft } from '../../web/views/found/start-draft.ts';
import { LONDON } from '../support/plans.ts';

function picked(topic: string, text: string, pointer: string): RuleDraft {
  const view = payloadView(text);
  if (view.kind === 'text') throw new Error(`not taken apart: ${text}`);
  const node = leavesOf(view.root).find((one) => one.pointer === pointer);
  if (node === undefined) throw new Error(`nothing at ${pointer}`);
  return startDraft(topic, view, node);
}

function wrongWith(draft: RuleDraft): string[] {
  const parsed = parseMapping(withRule({ version: 1, rules: [] }, ruleOf(draft, 'mine')));
  return parsed.ok ? [] : parsed.problems.map(({ path, message }) => `${path} ${message}`);
}

const BARE = picked('yard/probe/left/f', '145.4', '');
const CHANNELS = picked(
  'bench/b1/state',
  '{"ts":1759999990.25,"t":{"ch1":63.5,"ch2":4.4,"label":"x"},"batt":87}',
  '/t/ch1',
);

describe('the rule for a picked value', () => {
  it('reads a bare number in Fahrenheit and names the probe by the level that differs', () => {
    expect(ruleOf(BARE, 'yard')).toEqual({
      id: 'yard',
      filter: 'yard/probe/left/f',
      format: 'number',
      sensor: { from: 'topic', level: 2 },
      values: [{ quantity: 'temperature', unit: 'degF' }],
    });
  });

  it('takes the channel and those chosen beside it by their own names', () => {
    const draft: RuleDraft = {
      ...CHANNELS,
      name: { from: 'key', parent: '/t', keys: ['ch1', 'ch2'], below: '', isWhole: false },
      time: { at: '/ts', as: 'epoch-s', zone: LONDON },
    };
    expect(ruleOf(draft, 'bench')).toEqual({
      id: 'bench',
      filter: 'bench/b1/state',
      format: 'json',
      sensor: { from: 'key' },
      time: { as: 'epoch-s', at: '/ts' },
      values: [{ at: '/t', eachKey: '^(?:ch1|ch2)$', quantity: 'temperature', unit: 'Cel' }],
    });
  });

  it('names the probe by another value of the message', () => {
    const draft = picked('box', '{"id":"box-a","temp":4.5}', '/temp');
    expect(ruleOf(draft, 'box')).toMatchObject({ sensor: { from: 'json', at: '/id' }, filter: 'box' });
  });

  it('keeps scale, decimal comma and battery', () => {
    const draft: RuleDraft = {
      ...picked('rad/p9', '{"v":"635,0","b":87}', '/v'),
      scale: '0.1',
      batteryAt: '/b',
    };
    expect(ruleOf(draft, 'rad').values).toEqual([
      { at: '/v', quantity: 'temperature', unit: 'Cel', num: { scale: 0.1, decimal: ',' } },
      { at: '/b', quantity: 'battery', unit: '%EL' },
    ]);
  });

  it.each(MEANINGS)('is a rule that the server takes: %s', (meaning) => {
    expect(wrongWith({ ...BARE, meaning, coldC: '24', r0Ohm: '100000', beta: '3950' })).toEqual([]);
    expect(wrongWith({ ...CHANNELS, meaning, coldC: '24', r0Ohm: '100000', beta: '3950' })).toEqual([]);
  });

  it('is refused at the number that is missing', () => {
    expect(wrongWith({ ...BARE, meaning: 'type-k', coldC: 'warm' }).join()).toContain(
      'rules.0.values.0.coldJunction',
    );
    expect(wrongWith({ ...BARE, meaning: 'ntc' }).join()).toContain('rules.0.values.0.thermistor');
    expect(wrongWith({ ...BARE, name: { from: 'const', value: '' } }).join()).toContain('rules.0.sensor');
  });

  it('offers every level of the topic, every other value and a typed name', () => {
    const view = payloadView('{"id":"box-a","temp":4.5}');
    if (view.kind === 'text') throw new Error('not taken apart');
    const options = nameOptions(picked('yard/box', '{"id":"box-a","temp":4.5}', '/temp'), view.root);
    expect(options.map(({ value }) => value)).toEqual(['key', 'topic 0', 'topic 1', 'json /id', 'const']);
  });
});

describe('the filter of a rule', () => {
  it('is the topic itself, or has + at the level that names the probe', () => {
    const name = { from: 'topic', level: 1, isForAll: true } as const;
    expect(filterOf({ topic: 'a/b/c', name })).toBe('a/+/c');
    expect(filterOf({ topic: 'a/b/c', name: { ...name, isForAll: false } })).toBe('a/b/c');
    expect(filterOf({ topic: 'a/b/c', name: { from: 'const', value: 'x' } })).toBe('a/b/c');
  });
});

describe('the id of a rule', () => {
  it('is made of the topic and is never one that is there already', () => {
    expect(ruleId('Yard/Probe 1/°F', [])).toBe('yard-probe-1-f');
    expect(ruleId('yard/probe', ['yard-probe', 'yard-probe-2'])).toBe('yard-probe-3');
    expect(ruleId('°°', [])).toBe('rule');
    expect(ruleId('x'.repeat(90), ['x'.repeat(36)])).toMatch(/^[a-z0-9-]{1,40}$/);
  });
});

describe('the pattern for names of members', () => {
  it('matches these names and nothing else', () => {
    const names = ['ch1', 'a.b', 'x-y', '(z)', 'p|q'];
    const pattern = new RegExp(keysPattern(names), 'u');
    for (const name of names) expect(pattern.test(name), name).toBe(true);
    for (const other of ['ch10', 'aXb', 'p', 'q', '']) expect(pattern.test(other), other).toBe(false);
  });
});

describe('a rule in the mapping', () => {
  const rule = (id: string, filter: string) => ({ ...ruleOf(BARE, id), filter });
  const ids = (old: readonly string[], added: string): string[] =>
    withRule(
      { version: 1, rules: old.map((filter, index) => rule(`old-${index}`, filter)) },
      rule('new', added),
    ).rules.map(({ id }) => id);

  it.each([
    [['a/b'], 'c/d', ['old-0', 'new']],
    [['a/b', 'c/+'], 'c/d', ['old-0', 'new', 'old-1']],
    [['c/d'], 'c/d', ['new', 'old-0']],
    [['a/b', '#'], 'c/d', ['old-0', 'new', 'old-1']],
    [['c/d', 'c/+'], 'c/+', ['old-0', 'old-1', 'new']],
    [['c/d'], '#', ['old-0', 'new']],
  ])(
    'of %j, a rule for %s stands before the wide ones when exact, and last when wide',
    (old, added, order) => {
      expect(ids(old, added)).toEqual(order);
    },
  );
});

describe('what a message would read', () => {
  it('says each reading, each side value and each complaint in words', () => {
    const lines = triedLines(
      {
        ruleId: 'mine',
        readings: [
          {
            sensorId: 'left',
            tempC: 63,
            atMs: Date.UTC(2026, 8, 19, 16, 0, 5),
            timeSource: 'device',
            quality: 3,
            reasons: ['retained'],
          },
        ],
        sides: [{ sensorId: 'left', quantity: 'battery', value: 87, unit: '%EL' }],
        unplugged: ['right'],
        rejects: [{ reason: 'no-value', detail: '/t/ch9' }],
      },
      LONDON,
    );
    expect(lines).toEqual([
      'left 63.0 °C, measured 17:00:05 (suspect: old value from the broker)',
      'left battery 87 %',
      'right: nothing plugged in',
      'No value where the rule looks for it: /t/ch9',
    ]);
  });
});
