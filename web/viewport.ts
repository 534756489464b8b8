import { signal } from '@preact/signals';

/** Size of the window in CSS px. */
export const viewport = signal({ widthPx: innerWidth, heightPx: innerHeight });

addEventListener('resize', () => {
  viewport.value = { widthPx: innerWidth, heightPx: innerHeight };
});
