import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import type { Row } from '../../../server/contract/board.ts';
import { HEATS } from '../../../server/contract/food.ts';
import type { StepInput, StepKind } from '../../../server/contract/steps.ts';
import { recordStep } from '../../actions.ts';
import { usePress } from '../../use-press.ts';
import { HEAT_WORDS, STEP_WORDS, inSentence } from '../../words.ts';
import { Keypad } from './keypad.tsx';
import { stepsOffered } from './steps-offered.ts';

type Asking = 'nothing' | 'zone' | 'throw' | 'check';

/** What the cook can say about a batch now; every step can be taken back for ten seconds. */
export function ActionPad({ row }: { row: Row }): JSX.Element | null {
  const [asking, setAsking] = useState<Asking>('nothing');
  const ask = (what: Asking) => () => setAsking(what);
  if (row.subject.kind !== 'batch' || row.status === null) return null;
  const batchId = row.subject.id;
  const record = async (input: StepInput): Promise<void> => {
    await recordStep({ batchId, name: row.short, input });
    setAsking('nothing');
  };
  if (asking === 'zone') return <ZoneChoice onChoose={record} onCancel={ask('nothing')} />;
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

type PressButtonProps = { text: string; act: () => Promise<void>; class?: string };

function PressButton({ text, act, class: className = '' }: PressButtonProps): JSX.Element {
  const { isBusy, press } = usePress(act);
  return (
    <button type="button" class={isBusy ? `${className} busy` : className} onClick={press}>
      {text}
    </button>
  );
}

type ZoneChoiceProps = { onChoose: (input: StepInput) => Promise<void>; onCancel: () => void };

function ZoneChoice({ onChoose, onCancel }: ZoneChoiceProps): JSX.Element {
  return (
    <div class="acts" role="group" aria-label="Moved to which heat">
      <p>Moved to</p>
      {HEATS.map((zone) => (
        <PressButton key={zone} text={HEAT_WORDS[zone]} act={() => onChoose({ step: 'moved', zone })} />
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
