import type { JSX } from 'preact';
import type { Verb } from '../server/contract/board.ts';

/** Own family: a slab of food, an arrow, three grill bars seen end-on. Drawn on a 48 by 48 field in one line width. */
const BARS = <path d="M4 44h10M19 44h10M34 44h10" />;
const SHAPES = {
  turn: (
    <>
      {BARS}
      <rect x="5" y="28" width="15" height="8" rx="2.5" fill="currentColor" />
      <rect x="28" y="28" width="15" height="8" rx="2.5" />
      <path d="M12.5 19C14 8 32 6 35 18" />
      <path d="M27.5 14.5 35.5 20l5-8.5" />
    </>
  ),
  move: (
    <>
      {BARS}
      <rect x="4" y="28" width="18" height="8" rx="2.5" fill="currentColor" />
      <path d="M8 16h30" />
      <path d="M30 8l8 8-8 8" />
    </>
  ),
  off: (
    <>
      {BARS}
      <rect x="11" y="28" width="26" height="8" rx="2.5" fill="currentColor" />
      <path d="M24 21V5" />
      <path d="M14 14 24 4l10 10" />
    </>
  ),
  on: (
    <>
      {BARS}
      <rect x="11" y="28" width="26" height="8" rx="2.5" />
      <path d="M24 4v17" />
      <path d="M14 12l10 10 10-10" />
    </>
  ),
  rest: (
    <>
      <path d="M4 40h40" />
      <path d="M9 32a15 17 0 0 1 30 0z" />
      <path d="M24 9v5" />
    </>
  ),
  serve: (
    <>
      <path d="M3 27h42" />
      <path d="M8 27a16 14 0 0 0 32 0" />
      <path d="M16 19c0-5 4-5 4-11M28 19c0-5 4-5 4-11" />
    </>
  ),
  heat: (
    <>
      <path d="M9 24h30v11a6 6 0 0 1-6 6H15a6 6 0 0 1-6-6z" />
      <path d="M4 27h5M39 27h5" />
      <path d="M17 17c0-5 4-4 4-10M28 17c0-5 4-4 4-10" />
    </>
  ),
  check: (
    <>
      <path d="M30 18 14 38l-4 4" />
      <circle cx="34" cy="13" r="7" />
    </>
  ),
  ok: (
    <>
      <circle cx="24" cy="24" r="19" />
      <path d="M14 25l7 7 13-15" />
    </>
  ),
  watch: (
    <>
      <path d="M24 6 44 41H4z" />
      <path d="M24 19v10M24 34.5v.5" />
    </>
  ),
  unsafe: (
    <>
      <path d="M16 4h16l12 12v16L32 44H16L4 32V16z" />
      <path d="M24 13v14M24 34v.6" />
    </>
  ),
  lost: (
    <>
      <path d="M3 30h9l5-16 8 24 5-14" />
      <path d="M35 29l9 9M44 29l-9 9" />
    </>
  ),
  stall: (
    <>
      <path d="M5 36 16 20h27" />
      <path d="M35 12l8 8-8 8" />
    </>
  ),
  clock: (
    <>
      <circle cx="24" cy="24" r="19" />
      <path d="M24 12v12l8 6" />
    </>
  ),
  unchecked: <circle cx="24" cy="24" r="19" stroke-dasharray="9 8" />,
  failed: (
    <>
      <circle cx="24" cy="24" r="19" />
      <path d="M16 16l16 16M32 16 16 32" />
    </>
  ),
  battery: (
    <>
      <rect x="4" y="14" width="34" height="20" rx="3" />
      <path d="M44 21v6M11 21v6" />
    </>
  ),
  back: <path d="M30 8 14 24l16 16" />,
  seen: <path d="M8 26l11 11L41 11" />,
} as const satisfies Record<Verb, JSX.Element> & Record<string, JSX.Element>;

export type GlyphName = keyof typeof SHAPES;

/** Sized by the font size of its surroundings; hidden from screen readers, because a word always stands beside it. */
export function Glyph({ name }: { name: GlyphName }): JSX.Element {
  return (
    <svg
      class="g"
      viewBox="0 0 48 48"
      aria-hidden="true"
      fill="none"
      stroke="currentColor"
      stroke-width="4.5"
      stroke-linecap="round"
      stroke-linejoin="round"
    >
      {SHAPES[name]}
    </svg>
  );
}
