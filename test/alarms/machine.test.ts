import { describe, expect, it } from 'vitest';
import {
  ALARM_EVENTS,
  move,
  type AlarmEvent,
  type AlarmState,
  type Move,
} from '../../server/alarms/machine.ts';

/**
 * Transitions T1 to T6 of the alarm state model in ISA-18.2 / IEC 62682, as OPC UA Part 9 describes it; every other
 * pair leaves the alarm as it is.
 */
const STATED: readonly [AlarmState, AlarmEvent, AlarmState, Move['journal']][] = [
  ['normal', 'raise', 'unacknowledged', 'raised'],
  ['normal', 'clear', 'normal', null],
  ['normal', 'acknowledge', 'normal', null],
  ['unacknowledged', 'raise', 'unacknowledged', null],
  ['unacknowledged', 'clear', 'returned', 'returned'],
  ['unacknowledged', 'acknowledge', 'acknowledged', 'acknowledged'],
  ['acknowledged', 'raise', 'acknowledged', null],
  ['acknowledged', 'clear', 'normal', 'cleared'],
  ['acknowledged', 'acknowledge', 'acknowledged', null],
  ['returned', 'raise', 'unacknowledged', 'raised-again'],
  ['returned', 'clear', 'returned', null],
  ['returned', 'acknowledge', 'normal', 'acknowledged'],
];

describe('alarm states', () => {
  it.each(STATED)('%s and %s gives %s', (from, event, to, journal) => {
    expect(move(from, event)).toEqual({ to, journal });
  });

  it('every state and event is stated here', () => {
    const states = ['normal', 'unacknowledged', 'acknowledged', 'returned'] as const;
    const pairs = new Set(STATED.map(([state, event]) => `${state} ${event}`));
    expect(pairs.size).toBe(states.length * ALARM_EVENTS.length);
  });

  it('writes down every move and nothing else', () => {
    for (const [from, event] of STATED) {
      const { to, journal } = move(from, event);
      expect([from, event, journal !== null]).toEqual([from, event, to !== from]);
    }
  });

  it('only an acknowledgement makes an alarm seen: clearing alone never ends one that nobody saw', () => {
    expect(move(move('unacknowledged', 'clear').to, 'clear').to).toBe('returned');
  });
});
