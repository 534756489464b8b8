import type { JournalEntry } from '../contract/api.ts';
import type { Alarm } from '../contract/board.ts';

export type AlarmState = Alarm['state'];
export const ALARM_EVENTS = ['raise', 'clear', 'acknowledge'] as const;
export type AlarmEvent = (typeof ALARM_EVENTS)[number];

/** `journal` is what is written down about the move; null where nothing happens. */
export type Move = { to: AlarmState; journal: JournalEntry['event'] | null };

const stay = (state: AlarmState): Move => ({ to: state, journal: null });

/**
 * Standard alarm states, after the transitions T1 to T6 of the ISA-18.2 / IEC 62682 model as OPC UA Part 9 describes it:
 * an alarm that is back in limits but was not seen stays until somebody sees it.
 */
const MOVES: Record<AlarmState, Record<AlarmEvent, Move>> = {
  normal: {
    raise: { to: 'unacknowledged', journal: 'raised' },
    clear: stay('normal'),
    acknowledge: stay('normal'),
  },
  unacknowledged: {
    raise: stay('unacknowledged'),
    clear: { to: 'returned', journal: 'returned' },
    acknowledge: { to: 'acknowledged', journal: 'acknowledged' },
  },
  acknowledged: {
    raise: stay('acknowledged'),
    clear: { to: 'normal', journal: 'cleared' },
    acknowledge: stay('acknowledged'),
  },
  returned: {
    raise: { to: 'unacknowledged', journal: 'raised-again' },
    clear: stay('returned'),
    acknowledge: { to: 'normal', journal: 'acknowledged' },
  },
};

/** What an event does to an alarm in a state. */
export function move(state: AlarmState, event: AlarmEvent): Move {
  return MOVES[state][event];
}
