import { describe, expect, it } from 'vitest';
import { filterProblem } from '../../server/contract/topic-filter.ts';

describe('a topic filter', () => {
  // MQTT 5 (OASIS, 2019) sections 4.7.1.2 and 4.7.1.3: the standard's own examples of valid and invalid filters
  it.each(['sport/tennis/#', '#', '+', '+/tennis/#', 'sport/+/player1', '/finance', '/+', '$SYS/#', 'a b'])(
    'is valid: %s',
    (filter) => {
      expect(filterProblem(filter)).toBeNull();
    },
  );

  it.each([
    ['sport/tennis#', 'last level'],
    ['sport/tennis/#/ranking', 'last level'],
    ['sport+', 'alone in a level'],
    ['', 'empty'],
    ['a\0b', 'NUL'],
    ['$share/group/yard/+', 'shared'],
    ['x'.repeat(201), '200'],
  ])('is refused with the reason: %j', (filter, reason) => {
    expect(filterProblem(filter)).toContain(reason);
  });
});
