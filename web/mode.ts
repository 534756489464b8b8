import { signal } from '@preact/signals';

/** Sun: ink on white. Dusk: light on dark. Chosen by hand only: a system setting knows nothing of the light outdoors. */
export type Mode = 'sun' | 'dusk';
const KEY = 'tongside.mode';

export const mode = signal<Mode>('sun');

export function applyStoredMode(): void {
  setMode(readStored(KEY) === 'dusk' ? 'dusk' : 'sun');
}

export function setMode(next: Mode): void {
  mode.value = next;
  document.documentElement.dataset['mode'] = next;
  writeStored(KEY, next);
}

/** What this browser remembers; null when it remembers nothing or may not. */
export function readStored(key: string): string | null {
  try {
    return localStorage.getItem(key);
  } catch {
    return null;
  }
}

export function writeStored(key: string, value: string): void {
  try {
    localStorage.setItem(key, value);
  } catch {
    // A browser that forbids storage asks again next time; nothing else is lost.
  }
}
