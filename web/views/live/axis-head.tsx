import type { JSX } from 'preact';
import type { Board } from '../../../server/contract/board.ts';
import { clockText } from '../../format/clock.ts';
import { wholeDown } from '../../format/temperature.ts';
import { Glyph } from '../../glyph.tsx';
import { WORDS } from '../../words.ts';
import type { AxisMarks } from './axis.ts';

type AxisHeadProps = { board: Board; marks: AxisMarks; nowMs: number; isLinkLost: boolean };

/** Left the zones of the grill, right the clock on its post, the ticks and the serving flags. */
export function AxisHead({ board, marks, nowMs, isLinkLost }: AxisHeadProps): JSX.Element {
  const { cookout, zones } = board;
  return (
    <div class="axis">
      <div class="zones">
        {cookout?.isDemo === true ? <span class="demo-mark">{WORDS.demo}</span> : <b>Grill</b>}
        {zones.map(({ id, name, tempC }) => (
          <span key={id}>
            {name} {isLinkLost ? '?' : `${wholeDown(tempC)}${tempC === null ? '' : '°'}`}
          </span>
        ))}
      </div>
      <div class="scale">
        <span class="post-clock">{cookout === null ? '' : clockText(nowMs, cookout.timeZone)}</span>
        {marks.ticks.map(({ x, text }) => (
          <span key={text} class="tick-text" style={{ left: `${x}px` }}>
            {text}
          </span>
        ))}
        {marks.flags.map(({ id, x, text, isLeft }) => (
          <span key={id} class={isLeft ? 'flag left' : 'flag'} style={{ left: `${x}px` }}>
            <span class="vh">Serve </span>
            <Glyph name="serve" />
            {text}
          </span>
        ))}
      </div>
    </div>
  );
}
