import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import type { Board, Row } from '../../../server/contract/board.ts';
import type { StepInput, StepKind } from '../../../server/contract/steps.ts';
import { recordStep } from '../../actions.ts';
import { usePress } from '../../use-press.ts';
import { STEP_WORDS, inSentence } from '../../words.ts';
import { Keypad } from './keypad.tsx';
import { movesOffered, stepsOffered } from './steps-offered.ts';
import type { Move } from './steps-offered.ts';

type Asking = 'nothing' | 'zone' | 'throw' | 'check';

/** What the cook can say about a batch now; every step can be taken back for ten seconds. */
export function ActionPad({ row, zones }: { row: Row; zones: Board['zones'] }): JSX.Element | null {
  const [asking, setAsking] = useState<Asking>('nothing');
  const ask = (what: Asking) => () => setAsking(what);
  if (row.subject.kind !== 'batch' || row.status === null) return null;
  const batchId = row.subject.id;
  const record = async (input: StepInput): Promise<void> => {
    await recordStep({ batchId, name: row.short, input });
    setAsking('nothing');
  };
  if (asking === 'zone')
    return (
      <MoveChoice places={movesOffered(zones, row.placeName)} onChoose={record} onCancel={ask('nothing')} />
    );
  if (asking === 'throw')
    return (
      <ThrowAway name={row.short} onConfirm={() => record({ step: 'discarded' })} onCancel={ask('nothing')} />
    );
  const { main, others } = stepsOffered(row.status, row.tag === 'reserve');
  const askFirst = (step: StepKind): Asking | null =>
    step === 'moved' ? 'zone' : step === 'discarded' ? 'throw' : null;
  return (
    <div class="acts">
      {main === null ? null : (
        <PressButton class="p" text={STEP_WORDS[main]} act={() => record({ step: main })} />
      )}
      {others.map((step) => {
        const question = askFirst(step);
        if (question === null)
          return <PressButton key={step} text={STEP_WORDS[step]} act={() => record({ step })} />;
        return (
          <button key={step} type="button" onClick={ask(question)}>
            {STEP_WORDS[step]}
          </button>
        );
      })}
      <button type="button" onClick={ask('check')}>
        Spot check
      </button>
      {asking === 'check' ? <Keypad batchId={batchId} name={row.short} onClose={ask('nothing')} /> : null}
    </div>
  );
}

type PressButtonProps = { text: string; act: () => Promise<void>; class?: string; isPresent?: boolean };

function PressButton({ text, act, class: className = '', isPresent = false }: PressButtonProps): JSX.Element {
  const { isBusy, press } = usePress(act);
  return (
    <button
      type="button"
      class={isBusy ? `${className} busy` : className}
      aria-current={isPresent ? 'location' : undefined}
      onClick={press}
    >
      {text}
      {isPresent ? <small>now</small> : null}
    </button>
  );
}

type MoveChoiceProps = {
  places: readonly Move[];
  onChoose: (input: StepInput) => Promise<void>;
  onCancel: () => void;
};

function MoveChoice({ places, onChoose, onCancel }: MoveChoiceProps): JSX.Element {
  return (
    <div class="acts" role="group" aria-label="Moved to which place">
      <p>Moved to</p>
      {places.map(({ words, isPresent, input }) => (
        <PressButton key={words} text={words} isPresent={isPresent} act={() => onChoose(input)} />
      ))}
      <button type="button" class="p quiet" onClick={onCancel}>
        Not moved
      </button>
    </div>
  );
}

type ThrowAwayProps = { name: string; onConfirm: () => Promise<void>; onCancel: () => void };

function ThrowAway({ name, onConfirm, onCancel }: ThrowAwayProps): JSX.Element {
  return (
    <div class="acts" role="group" aria-label="Confirm">
      <p>Throw {inSentence(name)} away?</p>
      <PressButton class="p" text={STEP_WORDS.discarded} act={onConfirm} />
      <button type="button" class="p quiet" onClick={onCancel}>
        Keep it
      </button>
    </div>
  );
}
