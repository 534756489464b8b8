import type { JSX } from 'preact';
import { Dialog } from '../../dialog.tsx';
import { mode, setMode } from '../../mode.ts';
import { MarkKey } from './mark-key.tsx';

type MoreSheetProps = { cookoutId: string | null; onClose: () => void };

/** The way to everything that is not needed at one glance, and the key to the marks. */
export function MoreSheet({ cookoutId, onClose }: MoreSheetProps): JSX.Element {
  const record = cookoutId === null ? '#/records' : `#/record/${encodeURIComponent(cookoutId)}`;
  return (
    <Dialog label="More" class="more" onClose={onClose}>
      <nav>
        <a href="#/plan">Plan</a>
        <a href="#/probes">Probes</a>
        <a href="#/holds">Cold and hot</a>
        <a href={record}>Record</a>
        <button type="button" onClick={() => setMode(mode.value === 'sun' ? 'dusk' : 'sun')}>
          {mode.value === 'sun' ? 'Dusk' : 'Sun'}
          <small>{mode.value === 'sun' ? 'light letters on dark' : 'dark letters on white'}</small>
        </button>
        <a href="#/reach">Reach</a>
      </nav>
      <MarkKey />
    </Dialog>
  );
}
