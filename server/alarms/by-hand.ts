import type { JournalEntry } from '../contract/api.ts';
import type { AlarmMemory } from '../ports.ts';
import type { AlarmChange } from './evaluate.ts';
import { move, type AlarmEvent } from './machine.ts';

type ByHand = { memory: AlarmMemory; note: string; nowMs: number };

/**
 * Somebody has seen the alarm. It says nothing about the cause, which stays watched.
 *
 * @returns the alarm as it is now and the line to write down; null when there was nothing to acknowledge
 */
export function acknowledgeAlarm(q: ByHand): AlarmChange | null {
  return moveByHand(q, 'acknowledge');
}

/**
 * What the alarm was about is no longer watched because a person ended it: served, thrown away, deleted, cookout ended.
 * An alarm that nobody has seen still waits to be seen.
 *
 * @returns the alarm as it is now and the line to write down; null when it had already returned
 */
export function withdrawAlarm(q: ByHand): AlarmChange | null {
  return moveByHand(q, 'clear');
}

function moveByHand({ memory, note, nowMs }: ByHand, event: AlarmEvent): AlarmChange | null {
  const { to, journal } = move(memory.alarm.state, event);
  if (journal === null) return null;
  // nobody measured that it was over: the record must not say so
  const written = event === 'clear' ? 'withdrawn' : journal;
  const alarm = {
    ...memory.alarm,
    state: to,
    seenMs: event === 'acknowledge' ? nowMs : memory.alarm.seenMs,
    returnedMs: event === 'clear' ? nowMs : memory.alarm.returnedMs,
  };
  const entry: JournalEntry = {
    alarmId: alarm.id,
    kind: alarm.kind,
    atMs: nowMs,
    event: written,
    state: to,
    subjectName: memory.subjectName,
    valueC: alarm.valueC,
    limitC: alarm.limitC,
    note,
  };
  return { memory: { ...memory, alarm }, entry };
}
