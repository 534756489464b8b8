import type { CookoutRecord } from '../server/contract/api.ts';
import type { Action, Alarm, Board } from '../server/contract/board.ts';
import type { Act } from './act.ts';
import type { Mapping } from './mapping.ts';
import type { Scenario } from './scenario.ts';

/** So long after an alarm was raised the invented cook has seen it, simulated ms: a person may be first. */
export const SEES_AFTER_MS = 150_000;

/** How long an action may be overdue before the invented cook does it, simulated ms. */
export function patienceMs(speed: number): number {
  return speed <= 2 ? 90_000 : 15_000;
}

/** What the cook writes beside an alarm that was seen. */
export function noteFor(kind: Alarm['kind']): string {
  switch (kind) {
    case 'cold-over':
      return 'Fresh ice laid on the food, lid shut';
    case 'hot-under':
      return 'Burner turned up, lid on';
    case 'probe-silent':
      return 'Plug of the probe pushed home';
    case 'core-short':
      return 'Kept apart from what is served';
    case 'system':
      return 'Seen, checking by hand';
  }
}

/**
 * Actions of the screen that the cook now does. Nothing comes off the fire on an estimate alone: the row has to say
 * that it is ready, or the moment has to be a known one. Where something is to be moved to the screen does not say.
 */
export function overdueActions(board: Board, nowMs: number, patience: number): Action[] {
  return board.next.filter((action) => {
    if (action.step === null || action.step === 'moved' || nowMs - action.atMs <= patience) return false;
    if (action.verb !== 'off' || action.known) return true;
    const row = board.rows.find(({ id }) => id === action.rowId);
    return row?.state === 'ready' || row?.state === 'overdue';
  });
}

/** Alarms that nobody has said they saw, and that the invented cook has seen by now. */
export function unseenAlarms(board: Board, nowMs: number): Alarm[] {
  return board.alarms.filter(
    ({ state, seenMs, raisedMs }) =>
      seenMs === null &&
      (state === 'unacknowledged' || state === 'returned') &&
      nowMs - raisedMs >= SEES_AFTER_MS,
  );
}

function iceFor(scenario: Scenario, placeKey: string | undefined, atMs: number): Act | null {
  const place = scenario.places.find(({ key }) => key === placeKey);
  if (place?.kind !== 'cooler') return null;
  return { kind: 'ice', atMs, place: place.key, iceKg: place.iceToAddKg };
}

/** Whoever sees the alarm of a warm cooler brings ice: one load for each alarm that was seen while it lasted. */
export function iceOfBoard(scenario: Scenario, mapping: Mapping, alarms: readonly Alarm[]): Map<string, Act> {
  const loads = new Map<string, Act>();
  for (const { id, kind, state, seenMs, returnedMs, subject } of alarms) {
    if (kind !== 'cold-over' || state !== 'acknowledged' || seenMs === null || returnedMs !== null) continue;
    const load = iceFor(scenario, mapping.placeKeys.get(subject?.id ?? ''), seenMs);
    if (load !== null) loads.set(id, load);
  }
  return loads;
}

/** The same from the record, for an evening that is taken up again. */
export function iceOfJournal(scenario: Scenario, journal: CookoutRecord['journal']): Map<string, Act> {
  const loads = new Map<string, Act>();
  const back = new Set<string>();
  for (const { alarmId, kind, event, atMs, subjectName } of journal) {
    if (event === 'returned') back.add(alarmId);
    if (event === 'raised-again') back.delete(alarmId);
    if (kind !== 'cold-over' || event !== 'acknowledged' || back.has(alarmId) || loads.has(alarmId)) continue;
    const place = scenario.places.find(({ name }) => name === subjectName);
    const load = iceFor(scenario, place?.key, atMs);
    if (load !== null) loads.set(alarmId, load);
  }
  return loads;
}
