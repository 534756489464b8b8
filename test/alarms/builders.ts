import type { Alarm } from '../../server/contract/board.ts';
import type { LimitCondition, SystemCondition } from '../../server/alarms/condition.ts';

/** An invented afternoon: 2026-08-29T15:00:00Z. */
export const START_MS = 1_788_015_600_000;
export const atS = (seconds: number): number => START_MS + seconds * 1000;
export const atMin = (minutes: number): number => atS(minutes * 60);

/** The trout bag, over 8 degC since the start, unless said otherwise. */
export function condition(q: Partial<LimitCondition> = {}): LimitCondition {
  return {
    key: 'cold-over:trout-bag',
    cookoutId: 'supper',
    kind: 'cold-over',
    rowId: 'trout-bag',
    subject: { kind: 'place', id: 'trout-bag' },
    subjectName: 'Trout bag under the bench',
    short: 'Trout bag',
    verdict: 'true',
    sinceMs: START_MS,
    clearSinceMs: null,
    valueC: 9.1,
    valueAtMs: START_MS,
    limitC: 8,
    limitText: '8 °C or colder',
    isHeard: false,
    food: 'fish',
    ...q,
  };
}

export function fault(q: Partial<SystemCondition> = {}): SystemCondition {
  return {
    key: 'system:watch',
    cookoutId: null,
    kind: 'system',
    fault: 'watch',
    verdict: 'true',
    sinceMs: START_MS,
    clearSinceMs: null,
    ...q,
  };
}

export function alarm(q: Partial<Alarm> = {}): Alarm {
  return {
    id: 'a',
    kind: 'cold-over',
    class: 'unsafe',
    state: 'unacknowledged',
    rowId: 'trout-bag',
    subject: { kind: 'place', id: 'trout-bag' },
    title: 'Trout bag too warm',
    detail: '9.1°, over 8° for 12 min. Ice it or cook it now.',
    raisedMs: START_MS,
    seenMs: null,
    returnedMs: null,
    valueC: 9.1,
    limitC: 8,
    ...q,
  };
}
