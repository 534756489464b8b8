import type { Alarm } from '../contract/board.ts';
import type { AlarmKind } from './condition.ts';

export type AlarmPolicy = {
  class: Alarm['class'];
  /** How long it must be broken before the alarm is raised, ms. */
  onDelayMs: number;
  /** How long it must be inside by the deadband before the alarm clears, ms. */
  offDelayMs: number;
  deadbandC: number;
};

/**
 * Our own choice, not a standard's: a lid that is opened for a minute must not ring, a limit broken for two must.
 * ISA-18.2 starts temperature signals at 60 s and 1 % of range (from memory). The meaning of on-delay, off-delay and
 * deadband is that of OPC UA Part 9, B.1.5.
 */
export const ALARM_POLICY: Record<AlarmKind, AlarmPolicy> = {
  system: { class: 'unsafe', onDelayMs: 0, offDelayMs: 0, deadbandC: 0 },
  'core-short': { class: 'unsafe', onDelayMs: 0, offDelayMs: 0, deadbandC: 0 },
  'cold-over': { class: 'unsafe', onDelayMs: 120_000, offDelayMs: 120_000, deadbandC: 0.5 },
  'hot-under': { class: 'unsafe', onDelayMs: 120_000, offDelayMs: 120_000, deadbandC: 1 },
  'probe-silent': { class: 'cannot-tell', onDelayMs: 120_000, offDelayMs: 30_000, deadbandC: 0 },
};

/** Within a class: what concerns everything first, then what can least be put right later. */
const KIND_RANK: Record<AlarmKind, number> = {
  system: 0,
  'core-short': 1,
  'cold-over': 2,
  'hot-under': 3,
  'probe-silent': 4,
};
const CLASS_RANK: Record<Alarm['class'], number> = { unsafe: 0, 'cannot-tell': 1 };
const STATE_RANK: Record<Alarm['state'], number> = {
  unacknowledged: 0,
  acknowledged: 1,
  returned: 2,
  normal: 3,
};

/**
 * Order of alarms, worst first: unsafe before cannot-tell; then not seen, seen and still broken, back in limits; then the
 * kind; then the oldest. A compare function for `sort`.
 */
export function worstFirst(a: Alarm, b: Alarm): number {
  return (
    CLASS_RANK[a.class] - CLASS_RANK[b.class] ||
    STATE_RANK[a.state] - STATE_RANK[b.state] ||
    KIND_RANK[a.kind] - KIND_RANK[b.kind] ||
    a.raisedMs - b.raisedMs ||
    (a.id < b.id ? -1 : 1)
  );
}
