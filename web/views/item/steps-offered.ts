import { statusAfter } from '../../../server/contract/steps.ts';
import type { Board, Row } from '../../../server/contract/board.ts';
import { HEATS } from '../../../server/contract/food.ts';
import type { BatchStatus, StepInput, StepKind } from '../../../server/contract/steps.ts';
import { HEAT_WORDS } from '../../words.ts';

export type Offer = { main: StepKind | null; others: StepKind[] };

/** The step that usually comes next, by status; offered large. */
const USUAL: Record<BatchStatus, StepKind | null> = {
  planned: 'on',
  packed: 'on',
  on: 'off',
  off: 'served',
  held: 'served',
  served: null,
  cooling: 'chilled',
  chilled: 'reheating',
  reheating: 'served',
  discarded: null,
};
/** In the order in which they are shown. */
const SHOWN: readonly StepKind[] = [
  'on',
  'turned',
  'moved',
  'lid-opened',
  'off',
  'held',
  'served',
  'discarded',
];
const RESERVE_SHOWN: readonly StepKind[] = ['reheating', 'held', 'moved', 'served', 'discarded'];

/** What the cook can say about a batch now. A reserve dish is heated rather than put on. */
export function stepsOffered(status: BatchStatus, isReserve: boolean): Offer {
  const isPossible = (step: StepKind): boolean => statusAfter(status, step) !== null;
  const usual = isReserve && isPossible('reheating') ? 'reheating' : USUAL[status];
  const main = usual !== null && isPossible(usual) ? usual : null;
  const shown = isReserve ? RESERVE_SHOWN : SHOWN;
  return { main, others: shown.filter((step) => step !== main && isPossible(step)) };
}

export type Move = { words: string; isPresent: boolean; input: StepInput };

/** Where a batch can be moved to: the parts of the grill by name; only a cookout that has none offers heats. */
export function movesOffered(zones: Board['zones'], placeName: Row['placeName']): Move[] {
  if (zones.length === 0)
    return HEATS.map((zone) => ({
      words: HEAT_WORDS[zone],
      isPresent: false,
      input: { step: 'moved', zone },
    }));
  return zones.map(({ id, name }) => ({
    words: name,
    isPresent: name === placeName,
    input: { step: 'moved', placeId: id },
  }));
}
