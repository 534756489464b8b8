import type { JournalEntry } from '../contract/api.ts';
import type { Alarm } from '../contract/board.ts';
import type { AlarmMemory } from '../ports.ts';
import { alarmId } from './alarm-id.ts';
import type { Condition } from './condition.ts';
import { move, type AlarmEvent, type AlarmState } from './machine.ts';
import { ALARM_POLICY, worstFirst } from './policy.ts';
import { alarmWords, systemName, UNWATCHED_DETAIL } from './wording.ts';

export type AlarmChange = { memory: AlarmMemory; entry: JournalEntry };

/**
 * One step of all alarms. Delays are counted from the times of the readings, so the answer depends on what was measured and
 * on nowMs and not on when the program was started. What is unknown, and what is no longer among the conditions, stays as it is.
 *
 * @param conditions - everything that is watched, each key once
 * @param open - the alarms that are not back to normal
 * @param nowMs - epoch ms
 * @returns `changed`: what is to be written down, one line per move; `open`: the alarms as they are now, worst first
 * @throws TypeError when nowMs is no number; RangeError when a key is there twice
 */
export function evaluateAlarms(q: {
  conditions: readonly Condition[];
  open: readonly AlarmMemory[];
  nowMs: number;
}): { changed: AlarmChange[]; open: AlarmMemory[] } {
  if (!Number.isFinite(q.nowMs)) throw new TypeError(`nowMs: expected epoch ms, got ${String(q.nowMs)}`);
  assertKeysOnce(q.conditions);
  const changed: AlarmChange[] = [];
  const open: AlarmMemory[] = [];
  const judged = new Set<AlarmMemory>();
  for (const condition of q.conditions) {
    const before = q.open.find(({ key }) => key === condition.key) ?? null;
    if (before !== null) judged.add(before);
    const { memory, entry } = step(condition, before, q.nowMs);
    if (memory === null) continue;
    if (entry !== null) changed.push({ memory, entry });
    if (memory.alarm.state !== 'normal') open.push(memory);
  }
  open.push(...q.open.filter((memory) => !judged.has(memory)).map(unwatched));
  open.sort((a, b) => worstFirst(a.alarm, b.alarm));
  return { changed, open };
}

function assertKeysOnce(conditions: readonly Condition[]): void {
  const seen = new Set<string>();
  for (const { key } of conditions) {
    if (seen.has(key)) throw new RangeError(`conditions: expected each key once, got ${key} twice`);
    seen.add(key);
  }
}

type Step = { memory: AlarmMemory | null; entry: JournalEntry | null };

function step(condition: Condition, before: AlarmMemory | null, nowMs: number): Step {
  const state = before?.alarm.state ?? 'normal';
  const event = eventOf(condition, nowMs);
  const { to, journal } = event === null ? { to: state, journal: null } : move(state, event);
  if (before === null && journal === null) return { memory: null, entry: null };
  const alarm: Alarm = {
    ...(before?.alarm ?? newAlarm(condition, nowMs)),
    ...timesAfter(before?.alarm ?? null, to, nowMs),
    ...alarmWords(condition, to, nowMs),
    ...measured(condition),
    state: to,
  };
  const memory: AlarmMemory = {
    alarm,
    cookoutId: before?.cookoutId ?? condition.cookoutId,
    key: condition.key,
    subjectName: condition.kind === 'system' ? systemName(condition.fault) : condition.subjectName,
  };
  return { memory, entry: journal === null ? null : journalLine({ memory, event: journal, nowMs }) };
}

/** Written so that a time that is not known, or no number, raises and does not clear. */
function eventOf(condition: Condition, nowMs: number): AlarmEvent | null {
  const { onDelayMs, offDelayMs } = ALARM_POLICY[condition.kind];
  const { sinceMs, clearSinceMs } = condition;
  switch (condition.verdict) {
    case 'true':
      return nowMs - (sinceMs ?? NaN) < onDelayMs ? null : 'raise';
    case 'false':
      return offDelayMs === 0 || nowMs - (clearSinceMs ?? NaN) >= offDelayMs ? 'clear' : null;
    case 'unknown':
      return null;
  }
}

function newAlarm(
  condition: Condition,
  nowMs: number,
): Pick<Alarm, 'id' | 'kind' | 'class' | 'rowId' | 'subject'> {
  const about = condition.kind === 'system' ? { rowId: null, subject: null } : condition;
  return {
    id: alarmId(condition.kind, condition.key, nowMs),
    kind: condition.kind,
    class: ALARM_POLICY[condition.kind].class,
    rowId: about.rowId,
    subject: about.subject,
  };
}

/** A new occurrence of an alarm that nobody had seen starts its times afresh; its journal keeps the earlier ones. */
function timesAfter(
  before: Alarm | null,
  to: AlarmState,
  nowMs: number,
): Pick<Alarm, 'raisedMs' | 'seenMs' | 'returnedMs'> {
  if (before === null || (before.state === 'returned' && to === 'unacknowledged')) {
    return { raisedMs: nowMs, seenMs: null, returnedMs: null };
  }
  const back = to !== before.state && (to === 'returned' || to === 'normal');
  return { raisedMs: before.raisedMs, seenMs: before.seenMs, returnedMs: back ? nowMs : before.returnedMs };
}

/** An old number is not passed on as the alarm's value. */
function measured(condition: Condition): Pick<Alarm, 'valueC' | 'limitC'> {
  if (condition.kind === 'system') return { valueC: null, limitC: null };
  return { valueC: condition.verdict === 'unknown' ? null : condition.valueC, limitC: condition.limitC };
}

function journalLine({
  memory,
  event,
  nowMs,
}: {
  memory: AlarmMemory;
  event: JournalEntry['event'];
  nowMs: number;
}): JournalEntry {
  const { alarm, subjectName } = memory;
  return {
    alarmId: alarm.id,
    kind: alarm.kind,
    atMs: nowMs,
    event,
    state: alarm.state,
    subjectName,
    valueC: alarm.valueC,
    limitC: alarm.limitC,
    note: '',
  };
}

function unwatched(memory: AlarmMemory): AlarmMemory {
  return { ...memory, alarm: { ...memory.alarm, detail: UNWATCHED_DETAIL, valueC: null } };
}
