import { expect, it } from 'vitest';
import type { Outage } from '../../server/ports.ts';
import { SqliteOutages } from '../../server/store/outages.ts';
import { MIN, open, T0 } from './builders.ts';

it('outages are found again by the span that they touch, oldest first', () => {
  const { db } = open();
  const outage = (kind: Outage['kind'], from: number, to: number): Outage => ({
    kind,
    fromMs: T0 + from * MIN,
    toMs: T0 + to * MIN,
    detail: kind,
  });
  const late = outage('store-failed', 30, 40);
  const early = outage('session-lost', 0, 10);
  const middle = outage('clock-stepped', 20, 20);
  for (const each of [late, early, middle]) new SqliteOutages(db).add(each);
  const log = new SqliteOutages(db);
  expect(log.between(T0, T0 + 60 * MIN)).toEqual([early, middle, late]);
  expect(log.between(T0 + 10 * MIN, T0 + 20 * MIN)).toEqual([early, middle]);
  expect(log.between(T0 + 41 * MIN, T0 + 60 * MIN)).toEqual([]);
});
