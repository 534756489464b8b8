import type { CookoutState, SeatKind } from '../ports.ts';

/** Where each sensor sits now. One that is in two seats at once is judged the food's before a place's. */
export function seatKinds(state: CookoutState | null): Map<string, SeatKind> {
  const kinds = new Map<string, SeatKind>();
  if (!state) return kinds;
  const open = state.seats.filter((seat) => seat.toMs === null).sort((a, b) => a.fromMs - b.fromMs);
  for (const { subjectKind, subjectId, sensorId } of open) {
    if (subjectKind !== 'place') continue;
    const place = state.places.find((p) => p.id === subjectId);
    if (place) kinds.set(sensorId, place.kind);
  }
  for (const { subjectKind, sensorId } of open) if (subjectKind === 'batch') kinds.set(sensorId, 'core');
  return kinds;
}
