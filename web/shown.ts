import { computed } from '@preact/signals';
import type { Board } from '../server/contract/board.ts';
import { settledActions } from './actions.ts';
import { board, linkLostMs, nowMs } from './state.ts';
import { remember } from './views/live/numbers.ts';
import type { NumberMemory } from './views/live/numbers.ts';
import type { RowContext } from './views/live/row-view.ts';

const AXIS_STEP_MS = 10_000;

/** Server time in steps of ten seconds: marks step, they do not glide. */
export const axisNowMs = computed(() => Math.floor(nowMs.value / AXIS_STEP_MS) * AXIS_STEP_MS);

/** The board as shown: what was just confirmed here is no longer offered. */
export const shownBoard = computed<Board | null>(() => {
  const newest = board.value;
  const settled = settledActions.value;
  if (newest === null || settled.asOfMs !== newest.asOfMs) return newest;
  return { ...newest, next: newest.next.filter(({ id }) => !settled.ids.includes(id)) };
});

type Memories = ReadonlyMap<string, NumberMemory>;

/** The memories of all rows after a board; rows that are gone are forgotten. Pure. */
export function nextMemories(memories: Memories, newest: Board | null, atMs: number): Memories {
  return new Map((newest?.rows ?? []).map((row) => [row.id, remember(memories.get(row.id), row, atMs)]));
}

let kept: Memories = new Map();
const memories = computed<Memories>(() => {
  kept = nextMemories(kept, board.value, axisNowMs.value);
  return kept;
});

/** Everything that the words of a row depend on beside the row itself. */
export function rowContext(rowId: string): RowContext {
  return {
    nowMs: axisNowMs.value,
    timeZone: board.value?.cookout?.timeZone ?? 'UTC',
    memory: memories.value.get(rowId),
    isLinkLost: linkLostMs.value !== null,
  };
}
