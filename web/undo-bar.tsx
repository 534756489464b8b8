import type { JSX } from 'preact';
import { closeUndo, complaint, saved, takeBack, undoOffer } from './actions.ts';
import { WORDS } from './words.ts';

/** Foot of the screen: what was just recorded, with Undo for ten seconds; or what the server could not do. */
export function UndoBar(): JSX.Element | null {
  const problem = complaint.value;
  if (problem !== null) {
    return (
      <div class="foot problem" role="alert">
        <p>{problem}</p>
        <button type="button" onClick={closeProblem}>
          Close
        </button>
      </div>
    );
  }
  const said = saved.value;
  if (said !== null) {
    return (
      <div class="foot">
        <p role="status">{said}</p>
      </div>
    );
  }
  const offer = undoOffer.value;
  if (offer === null) return null;
  return (
    <div class="foot">
      <p role="status">{offer.text}</p>
      <button type="button" onClick={() => void takeBack(offer)}>
        {WORDS.undo}
      </button>
      <button type="button" onClick={closeUndo}>
        Keep
      </button>
    </div>
  );
}

function closeProblem(): void {
  complaint.value = null;
}
