import type { ComponentChildren, JSX } from 'preact';
import { clockText } from './format/clock.ts';
import { Glyph } from './glyph.tsx';
import { board, nowMs } from './state.ts';

/** The head of every page but live: Back to live, the title, a note, the demo mark and the server's clock. */
export function PageHead({ title, note, children }: PageHeadProps): JSX.Element {
  const cookout = board.value?.cookout ?? null;
  return (
    <header class="top">
      <a class="back" href="#/" aria-label="Back to live">
        <Glyph name="back" />
      </a>
      <h1>{title}</h1>
      {note === undefined ? null : <p>{note}</p>}
      {children}
      {cookout?.isDemo === true ? <span class="demo-mark">Demo data</span> : null}
      {cookout === null ? null : <b class="clock">{clockText(nowMs.value, cookout.timeZone)}</b>}
    </header>
  );
}
type PageHeadProps = { title: string; note?: string | undefined; children?: ComponentChildren };
