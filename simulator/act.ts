import type { Heat } from '../server/contract/food.ts';
import type { StepKind } from '../server/contract/steps.ts';

/** Something that somebody did and that the food feels. Places and batches by the scenario's own keys. */
export type Act =
  | { kind: 'step'; atMs: number; batch: string; step: StepKind; heat: Heat | null; place: string | null }
  | { kind: 'ice'; atMs: number; place: string; iceKg: number };

/** Index of the first act in which two lists differ, or null when they are the same. */
export function firstDifference(before: readonly Act[], after: readonly Act[]): number | null {
  const length = Math.max(before.length, after.length);
  for (let index = 0; index < length; index += 1) {
    if (JSON.stringify(before[index]) !== JSON.stringify(after[index])) return index;
  }
  return null;
}

/** Ascending in time; what was done in the same moment comes in an order of its own, whoever tells it. */
export function inOrder(acts: readonly Act[]): Act[] {
  const nameOf = (act: Act): string => (act.kind === 'step' ? `${act.batch} ${act.step}` : act.place);
  return acts.toSorted((one, other) => one.atMs - other.atMs || (nameOf(one) < nameOf(other) ? -1 : 1));
}
