import type { JSX } from 'preact';
import { WORDS } from '../../words.ts';

/** The key to the marks: what one mark, ten marks and hollow marks mean. */
export function MarkKey(): JSX.Element {
  return (
    <div class="mark-key">
      <svg width="320" height="66" viewBox="0 0 320 66" aria-hidden="true">
        <line class="ground" x1="0" x2="320" y1="58" y2="58" />
        <g class="known">
          <rect x="10" y="14" width="38" height="38" rx="8" />
          <path d="M29 42V24M21 31l8-8 8 8" fill="none" stroke="currentColor" stroke-width="4" />
        </g>
        {[118, 136.5, 155, 173.5].map((x) => (
          <circle key={x} class="coal" cx={x} cy="48" r="8" />
        ))}
        {[127, 145.5, 164].map((x) => (
          <circle key={x} class="coal" cx={x} cy="30" r="8" />
        ))}
        <line class="gate" x1="236" x2="236" y1="10" y2="60" />
        {[254, 276, 300].map((x) => (
          <circle key={x} class="coal late" cx={x} cy="48" r="6.5" />
        ))}
      </svg>
      <p>{WORDS.key}</p>
      <p>
        Squares behind a bar: ten moments at which a bag or pot might leave its limit. Only the bar is there
        to rely on.
      </p>
    </div>
  );
}
