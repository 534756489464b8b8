import { signal } from '@preact/signals';
import type { JSX } from 'preact';
import { readStored, writeStored } from '../../mode.ts';
import { WORDS } from '../../words.ts';

const KEY = 'tongside.key-read';
const isRead = signal(readStored(KEY) === 'yes');

/** Shown once over the lanes; any tap on it closes it for good. It stays to be read under More. */
export function FirstCard(): JSX.Element | null {
  if (isRead.value) return null;
  return (
    <button type="button" class="first-card" onClick={close}>
      {WORDS.key.split('. ').map((sentence) => (
        <span key={sentence}>{sentence.replace(/\.?$/, '.')}</span>
      ))}
      <small>Tap to close. More keeps it.</small>
    </button>
  );
}

function close(): void {
  isRead.value = true;
  writeStored(KEY, 'yes');
}
