import { describe, expect, it } from 'vitest';
import { parseMapping } from '../../../server/contract/mapping-problems.ts';
import { filtersOf } from '../../../server/ingest/mapping/filters.ts';
import { filterCovers, topicMatches } from '../../../server/ingest/mapping/topic-match.ts';

describe('a topic against a filter', () => {
  // MQTT 5 (OASIS, 2019) section 4.7: examples and normative statements, among them MQTT-4.7.2-1 for $ topics
  it.each([
    ['#', '$SYS/x', false],
    ['+/x', '$SYS/x', false],
    ['$SYS/#', '$SYS/x', true],
    ['a/#', 'a', true],
    ['a/+', 'a', false],
    ['a/+', 'a/', true],
    ['a/#', 'ab', false],
    ['+/+', '/x', true],
    ['/+', '/x', true],
    ['+', '/x', false],
    ['a/+/c', 'a/b/c', true],
    ['sport/tennis/player1/#', 'sport/tennis/player1', true],
    ['sport/tennis/player1/#', 'sport/tennis/player1/score/wimbledon', true],
    ['sport/tennis/+', 'sport/tennis/player1/ranking', false],
    ['Sport', 'sport', false],
    ['a/b', 'a/b/c', false],
    ['a/b/c', 'a/b', false],
  ])('%s and %s: %s', (filter, topic, matches) => {
    expect(topicMatches(filter, topic)).toBe(matches);
  });
});

function aMapping(filters: readonly string[]) {
  const rules = filters.map((filter, index) => ({
    id: `rule-${index}`,
    filter,
    sensor: { from: 'const', value: 'one' },
    values: [{ quantity: 'temperature', unit: 'Cel' }],
  }));
  const parsed = parseMapping({ version: 1, rules });
  if (!parsed.ok) throw new Error(JSON.stringify(parsed.problems));
  return parsed.mapping;
}

describe('the filters to subscribe to', () => {
  it('are the built-in ones when there is no rule', () => {
    expect(filtersOf(aMapping([]))).toEqual(['tongside/reading/#', 'tongside/senml/#']);
  });

  it('leave out what another one covers, so that a message comes once', () => {
    expect(
      filtersOf(
        aMapping(['yard/+/t', 'yard/left/t', 'yard/+/t', 'tongside/reading/odd', 'bench/#', 'bench']),
      ),
    ).toEqual(['tongside/reading/#', 'tongside/senml/#', 'yard/+/t', 'bench/#']);
    expect(filtersOf(aMapping(['#']))).toEqual(['#']);
    expect(filtersOf(aMapping(['#', '$SYS/broker/load']))).toEqual(['#', '$SYS/broker/load']);
  });

  it('keep two that overlap without covering each other', () => {
    expect(filtersOf(aMapping(['yard/+/t', 'yard/left/+'])).slice(2)).toEqual(['yard/+/t', 'yard/left/+']);
  });

  it('cover a filter only when they match every topic that it matches', () => {
    const names = ['', 'a', '$a'];
    const topics = names.flatMap((a) => [
      a,
      ...names.flatMap((b) => [`${a}/${b}`, ...names.map((c) => `${a}/${b}/${c}`)]),
    ]);
    const levels = ['', 'a', '$a', '+'];
    const filters = levels
      .flatMap((a) => [a, `${a}/#`, ...levels.flatMap((b) => [`${a}/${b}`, `${a}/${b}/#`])])
      .concat('#');
    let covering = 0;
    for (const outer of filters) {
      for (const inner of filters) {
        if (!filterCovers(outer, inner)) continue;
        covering += 1;
        for (const topic of topics) {
          if (topicMatches(inner, topic))
            expect([outer, inner, topic, topicMatches(outer, topic)]).toEqual([outer, inner, topic, true]);
        }
      }
    }
    expect(covering).toBeGreaterThan(filters.length); // each covers itself, and some cover others
  });
});
