import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import type { FoundTopic } from '../../../server/contract/probe.ts';
import type { MappingDocument } from '../../../server/contract/mapping.ts';
import { TextField } from '../../form/fields.tsx';
import { clockSecondsText } from '../../format/clock.ts';
import { counted } from '../../words.ts';
import { detailWords, rejectWords } from '../reject-words.ts';
import { forgetTopic } from './mapping-data.ts';
import { PayloadPicker } from './payload-picker.tsx';
import { leavesOf, payloadView } from './payload-tree.ts';
import type { PayloadNode } from './payload-tree.ts';
import type { RuleDraft } from './rule-draft.ts';
import { RuleForm } from './rule-form.tsx';
import { startDraft } from './start-draft.ts';
import type { HeardTopic } from './widening.ts';

type Building = { draft: RuleDraft; root: PayloadNode; payloadText: string };

export type FoundCardProps = {
  found: FoundTopic;
  /** null while the rules in force are not known: nothing can be added to them then. */
  mapping: MappingDocument | null;
  /** All topics of the page. */
  heard: readonly HeardTopic[];
  timeZone: string;
  onUsed: (topic: string) => Promise<void>;
  onForgotten: () => Promise<void>;
};

/** The kept bytes are not the whole message. */
function isCut({ payloadText, bytes }: FoundTopic): boolean {
  return payloadText !== null && new TextEncoder().encode(payloadText).length < bytes;
}

/** A number with something after it that is no number: "63.5 °C". */
const NUMBER_WITH_WORDS = /^\s*[+-]?\d+(?:[.,]\d+)?\s*[^\d\s.,{[:-][^\d]{0,12}$/;
const BARE_HINT =
  'Nothing to press: a number with its unit in one text cannot be read. Let the device send the number alone, like 63.5, or as JSON, like {"value":63.5,"unit":"C"}.';

function pressHint(root: PayloadNode): string {
  return leavesOf(root).some(({ decimal }) => decimal !== null)
    ? 'Press the number that is the temperature.'
    : 'No number in it, so there is nothing to press. The next message of this topic may have one.';
}

function Message({ found, text }: { found: FoundTopic; text: string | null }): JSX.Element {
  if (text === null)
    return (
      <>
        <p>{counted(found.bytes, 'byte')} that are no text:</p>
        <code class="pg-payload" tabIndex={0}>
          {found.payloadHex}
        </code>
      </>
    );
  return (
    <code class="pg-payload" tabIndex={0}>
      {text === '' ? '(empty)' : text}
    </code>
  );
}

type PasteProps = { found: FoundTopic; value: string; onText: (text: string) => void };

function Paste({ found, value, onText }: PasteProps): JSX.Element {
  return (
    <TextField
      label="Paste a whole message of this topic"
      hint={`Only the beginning of its ${found.bytes} bytes was kept, so it cannot be taken apart`}
      value={value}
      onText={onText}
    />
  );
}

/** One topic: what was heard on it, and the way to a rule that reads it. */
export function FoundCard(props: FoundCardProps): JSX.Element {
  const { found, mapping, heard, timeZone, onUsed, onForgotten } = props;
  const [building, setBuilding] = useState<Building | null>(null);
  const [pasted, setPasted] = useState('');
  const whole = pasted.trim() === '' ? found.payloadText : pasted;
  const text = building?.payloadText ?? whole;
  const view = text === null ? null : payloadView(text);
  const tree = view === null || view.kind === 'text' ? null : view;
  return (
    <li class="pg-card">
      <h3 class="fd-topic">{found.topic}</h3>
      <p>
        {rejectWords(found.reason)}
        {found.detail === '' || found.detail === found.payloadText
          ? ''
          : `: ${detailWords(found.detail)}`}.{' '}
        {found.count === 0 ? 'None since the server started' : counted(found.count, 'message')}, the last at{' '}
        {clockSecondsText(found.lastMs, timeZone)}.
      </p>
      {tree !== null ? (
        <>
          <p class="pg-hint">{mapping === null ? '' : pressHint(tree.root)}</p>
          <div class="fd-message" tabIndex={0}>
            <PayloadPicker
              node={tree.root}
              chosen={building?.draft.at ?? null}
              onPick={(node) => {
                if (mapping !== null && text !== null)
                  setBuilding({
                    draft: startDraft(found.topic, tree, node),
                    root: tree.root,
                    payloadText: text,
                  });
              }}
            />
          </div>
        </>
      ) : (
        <>
          <Message found={found} text={text} />
          {text !== null && NUMBER_WITH_WORDS.test(text) ? <p class="pg-hint">{BARE_HINT}</p> : null}
        </>
      )}
      {isCut(found) && tree === null ? <Paste found={found} value={pasted} onText={setPasted} /> : null}
      {building === null || mapping === null ? (
        <div class="pg-acts">
          <button
            type="button"
            aria-label={`Forget it: ${found.topic}`}
            onClick={() => void forgetTopic(found.topic).then(onForgotten)}
          >
            Forget it
          </button>
        </div>
      ) : (
        <RuleForm
          key={building.draft.at}
          start={building.draft}
          payloadText={building.payloadText}
          root={building.root}
          mapping={mapping}
          heard={heard}
          timeZone={timeZone}
          onUsed={() => onUsed(found.topic)}
          onCancel={() => setBuilding(null)}
        />
      )}
    </li>
  );
}
