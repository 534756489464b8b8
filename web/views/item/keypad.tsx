import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { recordSpotCheck } from '../../actions.ts';
import { Dialog } from '../../dialog.tsx';
import { usePress } from '../../use-press.ts';
import { DIGITS, keyed, typedTempC } from './keypad-value.ts';
import type { Key } from './keypad-value.ts';

type KeypadProps = { batchId: string; name: string; onClose: () => void };

const PLACES = ['thickest part', 'middle', 'by the bone', 'another piece'] as const;
const KEYS: readonly Key[] = [...DIGITS, '.', '0', 'delete'];

/** A temperature taken by hand: digits, + and -, where it was taken. It is kept with the server's time. */
export function Keypad({ batchId, name, onClose }: KeypadProps): JSX.Element {
  const [typed, setTyped] = useState('');
  const [where, setWhere] = useState<string>(PLACES[0]);
  const [isRefused, setRefused] = useState(false);
  const press = (key: Key) => () => {
    setRefused(false);
    setTyped((before) => keyed(before, key));
  };
  const save = usePress(async () => {
    const tempC = typedTempC(typed);
    if (tempC === null) setRefused(true);
    else if (await recordSpotCheck(batchId, { tempC, where })) onClose();
  });
  return (
    <Dialog label={`Spot check of ${name}`} class="keypad" onClose={onClose}>
      <h2>Spot check, {name}</h2>
      <output aria-live="polite">{typed === '' ? '–' : typed} °C</output>
      {isRefused ? <p role="alert">Type a temperature from −30 to 130 °C.</p> : null}
      <div class="keys">
        <button type="button" class="wide" onClick={press('-')} aria-label="One degree less">
          −
        </button>
        <button type="button" class="wide" onClick={press('+')} aria-label="One degree more">
          +
        </button>
        {KEYS.map((key) => (
          <button key={key} type="button" onClick={press(key)} aria-label={key === 'delete' ? 'Delete' : key}>
            {key === 'delete' ? '←' : key}
          </button>
        ))}
      </div>
      <div class="choices" role="group" aria-label="Where">
        {PLACES.map((place) => (
          <button key={place} type="button" aria-pressed={place === where} onClick={() => setWhere(place)}>
            {place}
          </button>
        ))}
      </div>
      <button type="button" class={save.isBusy ? 'save busy' : 'save'} onClick={save.press}>
        Save
      </button>
    </Dialog>
  );
}
