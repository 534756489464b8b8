import type { Alarm } from '../contract/board.ts';

/** For any lamp or horn that listens: the highest class that nobody has seen yet, and how many alarms are not normal. */
export function alarmSummary(alarms: readonly Alarm[]): string {
  const unseen = alarms.filter((alarm) => alarm.state === 'unacknowledged');
  const highest = unseen.some((a) => a.class === 'unsafe')
    ? 'unsafe'
    : unseen.length > 0
      ? 'cannot-tell'
      : 'none';
  return JSON.stringify({ highest, unacknowledged: unseen.length, count: alarms.length });
}
