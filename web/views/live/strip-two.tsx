import type { JSX } from 'preact';
import type { Action } from '../../../server/contract/board.ts';
import { Glyph } from '../../glyph.tsx';
import { WORDS } from '../../words.ts';
import { viewport } from '../../viewport.ts';
import { fitPx } from './layout.ts';
import type { LayoutKind } from './layout.ts';
import { stripTwo, whenOf, whenText } from './strips.ts';
import type { StripContext, Tag } from './strips.ts';

type StripTwoProps = { context: StripContext; kind: LayoutKind; isDemo: boolean; onMore: () => void };

/** The safety sentence, what comes after the next thing, and More. */
export function StripTwo({ context, kind, isDemo, onMore }: StripTwoProps): JSX.Element {
  const { tag, then } = stripTwo(context);
  return (
    <section class="two" aria-label="Limits and what comes then">
      <TagLine tag={tag} kind={kind} />
      {then === null ? <div class="then" /> : <Then action={then} context={context} kind={kind} />}
      {isDemo && kind !== 'wide' ? <span class="demo-mark">{WORDS.demo}</span> : null}
      <button type="button" onClick={onMore} aria-haspopup="dialog">
        {WORDS.more}
      </button>
    </section>
  );
}

const THEN_PX = { wide: 40, upright: 40, phone: 20 } as const;
const LEAST_THEN_PX = 16;
/** What the rest of the strip takes: the tag (wide), the demo mark, More, the glyph and paddings. */
const BESIDE_THEN_PX = { wide: 860, upright: 380, phone: 200 } as const;

function Then({
  action,
  context,
  kind,
}: {
  action: Action;
  context: StripContext;
  kind: LayoutKind;
}): JSX.Element {
  const when = whenText({ ...whenOf(action, context.nowMs, context.linkLostMs !== null), before: '' });
  const text = `${WORDS.then} ${action.short} ${when}`;
  const fits = fitPx(text, THEN_PX[kind], viewport.value.widthPx - BESIDE_THEN_PX[kind]);
  return (
    <div class="then" style={{ fontSize: `${Math.max(LEAST_THEN_PX, fits)}px` }}>
      <em>{WORDS.then}</em>
      <Glyph name={action.verb} />
      <span class="what">{action.short}</span>
      <em>{when}</em>
    </div>
  );
}

const TAG_ROOM_PX = 640;
const TAG_PX = 40;

function TagLine({ tag, kind }: { tag: Tag; kind: LayoutKind }): JSX.Element {
  const text = `${tag.text} ${tag.note}`.trim();
  const style = kind === 'wide' ? { fontSize: `${fitPx(text, TAG_PX, TAG_ROOM_PX)}px` } : {};
  const inside = (
    <>
      <Glyph name={tag.glyph} />
      <span>{tag.text}</span>
      {tag.note === '' ? null : <em>{tag.note}</em>}
    </>
  );
  const classes = `tag ${tag.look}`;
  if (tag.href === null) {
    return (
      <div class={classes} style={style}>
        {inside}
      </div>
    );
  }
  return (
    <a class={classes} style={style} href={tag.href}>
      {inside}
    </a>
  );
}
