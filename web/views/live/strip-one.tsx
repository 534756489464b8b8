import type { JSX } from 'preact';
import { useCallback, useRef } from 'preact/hooks';
import type { Action, Alarm } from '../../../server/contract/board.ts';
import { acknowledge, recordStep } from '../../actions.ts';
import { Glyph } from '../../glyph.tsx';
import { usePress } from '../../use-press.ts';
import { viewport } from '../../viewport.ts';
import { CONFIRM_WORDS, WORDS, actionText } from '../../words.ts';
import { fitPx, fitTwoLinesPx } from './layout.ts';
import type { LayoutKind } from './layout.ts';
import { itemHref, stripOne, whenText } from './strips.ts';
import type { StripContext, StripOne as Model, When } from './strips.ts';
import { isTapMeant, nextFace } from './tap-guard.ts';
import type { StripFace } from './tap-guard.ts';

type Guard = () => boolean;

/** The one thing that needs the person most, with one button. */
export function StripOne({ context, kind }: { context: StripContext; kind: LayoutKind }): JSX.Element {
  const model = stripOne(context);
  const face = useRef<StripFace | null>(null);
  face.current = nextFace(face.current, faceKey(model), performance.now());
  const guard = useCallback<Guard>(() => isTapMeant(face.current, performance.now()), []);
  switch (model.kind) {
    case 'stopped':
      return <Stopped kind={kind} />;
    case 'alarm':
      return (
        <AlarmStrip key={model.alarm.id} alarm={model.alarm} more={model.more} kind={kind} guard={guard} />
      );
    case 'action':
      return (
        <ActionStrip
          key={model.action.id}
          action={model.action}
          when={model.when}
          kind={kind}
          guard={guard}
        />
      );
    case 'quiet':
      return <Quiet model={model} kind={kind} />;
  }
}

function faceKey(model: Model): string {
  switch (model.kind) {
    case 'stopped':
      return 'stopped';
    case 'alarm':
      return `alarm ${model.alarm.id}`;
    case 'action':
      return `action ${model.action.id} ${model.when.isNow}`;
    case 'quiet':
      return `quiet ${model.title}`;
  }
}

/** Letters as large as they fit beside the glyph, the moment and the button. */
function alarmStyle(text: string, kind: LayoutKind): { fontSize: string } {
  const most = { wide: 78, upright: 70, phone: 31 }[kind];
  const taken = { wide: 430, upright: 190, phone: 106 }[kind];
  return { fontSize: `${fitPx(text, most, viewport.value.widthPx - taken)}px` };
}

const MORE_LETTERS = 11;

/** One line beside the button on the wide layout; the others break it. */
function whyStyle(detail: string, more: number, kind: LayoutKind): { fontSize?: string } {
  if (kind !== 'wide') return {};
  const letters = detail.length + (more > 0 ? MORE_LETTERS : 0);
  return { fontSize: `${fitPx('x'.repeat(letters), 40, viewport.value.widthPx - 390)}px` };
}

function verbStyle(
  text: string,
  kind: LayoutKind,
  beside: { when: string; button: string },
): { fontSize: string } {
  const { widthPx } = viewport.value;
  if (kind !== 'wide')
    return {
      fontSize: `${fitPx(text, kind === 'phone' ? 46 : 84, widthPx - (kind === 'phone' ? 90 : 140))}px`,
    };
  const whenPx = beside.when.length * 33;
  const buttonPx = Math.max(180, 60 + beside.button.length * 22);
  return { fontSize: `${fitTwoLinesPx(text, 92, widthPx - 220 - whenPx - buttonPx)}px` };
}

function Stopped({ kind }: { kind: LayoutKind }): JSX.Element {
  return (
    <section class="one unsafe" role="alert">
      <Glyph name="unsafe" />
      <h1 class="verb" style={alarmStyle(WORDS.watchTitle, kind)}>
        {WORDS.watchTitle}
      </h1>
      <p class="why">{WORDS.watchDetail}</p>
    </section>
  );
}

type AlarmStripProps = { alarm: Alarm; more: number; kind: LayoutKind; guard: Guard };

function AlarmStrip({ alarm, more, kind, guard }: AlarmStripProps): JSX.Element {
  const { isBusy, press } = usePress(() => acknowledge(alarm.id), guard);
  const isUnsafe = alarm.class === 'unsafe';
  return (
    <section class={isUnsafe ? 'one unsafe' : 'one unknown'} role="alert">
      <Glyph name={isUnsafe ? 'unsafe' : 'lost'} />
      <h1 class="verb" style={alarmStyle(alarm.title, kind)}>
        {alarm.title}
      </h1>
      <p class="why" style={whyStyle(alarm.detail, more, kind)}>
        {alarm.detail}
        {more > 0 ? <em> and {more} more</em> : null}
      </p>
      <button type="button" class={isBusy ? 'main busy' : 'main'} onClick={press}>
        {WORDS.seeIt}
      </button>
    </section>
  );
}

type ActionStripProps = { action: Action; when: When; kind: LayoutKind; guard: Guard };

function ActionStrip({ action, when, kind, guard }: ActionStripProps): JSX.Element {
  const text = actionText(action);
  return (
    <section class={when.isNow ? 'one now' : 'one'}>
      <Glyph name={action.verb} />
      <h1
        class="verb"
        style={verbStyle(text, kind, { when: whenText(when), button: CONFIRM_WORDS[action.verb] })}
      >
        {text}
      </h1>
      <p class="when">
        {when.before === '' ? null : <small>{when.before}</small>}
        {when.number}
        {when.after === '' ? null : <small>{when.after}</small>}
      </p>
      <ActionButton action={action} guard={guard} />
    </section>
  );
}

function ActionButton({ action, guard }: { action: Action; guard: Guard }): JSX.Element {
  const { step, batchId, short, id } = action;
  const { isBusy, press } = usePress(
    () =>
      step === null ? Promise.resolve() : recordStep({ batchId, name: short, input: { step }, actionId: id }),
    guard,
  );
  if (step === null) {
    return (
      <a class="main" href={itemHref(action.rowId)}>
        Open
      </a>
    );
  }
  return (
    <button type="button" class={isBusy ? 'main busy' : 'main'} onClick={press}>
      {CONFIRM_WORDS[action.verb]}
    </button>
  );
}

function Quiet({ model, kind }: { model: Extract<Model, { kind: 'quiet' }>; kind: LayoutKind }): JSX.Element {
  return (
    <section class="one">
      <Glyph name={model.title === WORDS.noLink ? 'lost' : 'clock'} />
      <h1 class="verb" style={verbStyle(model.title, kind, { when: '', button: model.link?.text ?? '' })}>
        {model.title}
      </h1>
      {model.link === null ? null : (
        <a class="main" href={model.link.href}>
          {model.link.text}
        </a>
      )}
    </section>
  );
}
