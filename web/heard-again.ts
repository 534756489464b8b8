import { board } from './state.ts';

/** So long a message stays to be read at least, ms. */
const LEAST_SHOWN_MS = 5_000;

/** Calls back once a board came some seconds after now: the link is there again. Returns how to stop waiting. */
export function whenHeardAgain(tell: () => void): () => void {
  const sinceMs = performance.now();
  const before = board.peek();
  return board.subscribe((newest) => {
    if (newest !== before && newest !== null && performance.now() - sinceMs >= LEAST_SHOWN_MS) tell();
  });
}
