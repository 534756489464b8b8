import type { JSX } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import type { MappingDocument } from '../../../server/contract/mapping.ts';
import type { MappingProblem } from '../../../server/contract/mapping-problems.ts';
import { numberOf } from '../../form/check.ts';
import { SelectField, TextField } from '../../form/fields.tsx';
import { Glyph } from '../../glyph.tsx';
import { usePress } from '../../use-press.ts';
import { saveMapping } from './mapping-data.ts';
import type { DraftProps } from './draft-props.ts';
import { NameFields } from './name-fields.tsx';
import { unreadNumbers } from './others-like.ts';
import { leavesOf } from './payload-tree.ts';
import type { PayloadNode } from './payload-tree.ts';
import { MEANINGS, SCALES, filterOf, isForSeveral, readPlaces, ruleId, ruleOf } from './rule-draft.ts';
import type { Meaning, RuleDraft } from './rule-draft.ts';
import { RulePreview, useTrial } from './rule-preview.tsx';
import { MEANING_WORDS, SCALE_WORDS } from './rule-words.ts';
import { scaleDoubt } from './scale-doubt.ts';
import { TimeFields } from './time-fields.tsx';
import { narrowed, overlapLines, wideningOf } from './widening.ts';
import type { HeardTopic, Widening } from './widening.ts';

const MEANING_OPTIONS = MEANINGS.map((value) => ({ value, words: MEANING_WORDS[value] }));
const SCALE_OPTIONS = SCALES.map((value) => ({ value, words: SCALE_WORDS[value] }));

/** The numbers that a converter needs beside the value. */
function ConverterFields({ draft, set }: Omit<DraftProps, 'root'>): JSX.Element | null {
  switch (draft.meaning) {
    case 'type-k':
      return (
        <TextField
          label="How warm its terminals are"
          hint="Where its wires end in the device; about the air around it"
          unit="°C"
          isNumber
          value={draft.coldC}
          onText={(coldC) => set({ coldC })}
        />
      );
    case 'ntc':
      return (
        <div class="pg-row">
          <TextField
            label="Resistance at 25 °C"
            unit="ohm"
            isNumber
            value={draft.r0Ohm}
            onText={(r0Ohm) => set({ r0Ohm })}
          />
          <TextField
            label="Beta, from its data sheet"
            unit="K"
            isNumber
            value={draft.beta}
            onText={(beta) => set({ beta })}
          />
        </div>
      );
    case 'celsius':
    case 'fahrenheit':
    case 'kelvin':
    case 'told':
    case 'pt100':
    case 'pt1000':
      return null;
  }
}

const BATTERY_NAME = /bat|charge|soc|power|level|percent|pct/i;

/** Numbers that may be the share of a battery: called so, and from 0 to 100. */
function batteries(root: PayloadNode, at: string): PayloadNode[] {
  return leavesOf(root).filter(({ decimal, pointer, name, text }) => {
    const share = numberOf(text);
    return decimal !== null && pointer !== at && BATTERY_NAME.test(name ?? '') && share >= 0 && share <= 100;
  });
}

function BatteryField({ draft, root, set }: DraftProps): JSX.Element | null {
  const others = batteries(root, draft.at);
  if (draft.format === 'number' || isForSeveral(draft) || others.length === 0) return null;
  return (
    <SelectField
      label="Its battery, in percent"
      value={draft.batteryAt}
      options={[
        { value: '', words: 'Not in the message' },
        ...others.map(({ pointer, text }) => ({ value: pointer, words: `${pointer}: ${text}` })),
      ]}
      onChoice={(batteryAt) => set({ batteryAt })}
    />
  );
}

function ScaleDoubt({ draft, text, set }: Omit<DraftProps, 'root'> & { text: string }): JSX.Element | null {
  const doubt = scaleDoubt(draft, text);
  if (doubt === null) return null;
  return (
    <div class="fd-doubt" role="status">
      <p>
        <Glyph name="watch" /> {Math.round(doubt.tempC)} °C is hotter than any fire here.
      </p>
      <button type="button" onClick={() => set({ scale: doubt.scale })}>
        Read it as {SCALE_WORDS[doubt.scale].split(':')[0]?.toLowerCase()}
      </button>
    </div>
  );
}

/** What the rule takes from other rules and topics, and the numbers of this message that it leaves unread. */
function warningsOf(draft: RuleDraft, root: PayloadNode, others: Others): string[] {
  const { widening, rules } = others;
  const isWidened = draft.name.from === 'topic' && draft.name.isForAll;
  const taken = isWidened && widening?.kind === 'offered' ? widening.others : [];
  const unread = draft.format === 'json' ? unreadNumbers(root, readPlaces(draft)) : [];
  return [
    ...(taken.length === 0 ? [] : [`It also reads ${taken.join(', ')} from now on.`]),
    ...overlapLines(filterOf(draft), rules),
    ...(unread.length === 0 ? [] : [`Stays unread: ${unread.join(', ')}.`]),
  ];
}
type Others = { widening: Widening | null; rules: MappingDocument['rules'] };

export type RuleFormProps = {
  start: RuleDraft;
  /** The message as it was when the value was picked. */
  payloadText: string;
  root: PayloadNode;
  mapping: MappingDocument;
  /** All topics that nobody reads yet. */
  heard: readonly HeardTopic[];
  timeZone: string;
  onUsed: () => Promise<void>;
  onCancel: () => void;
};

/** From a picked value to a rule: what the number is, whose it is, when it was measured. */
export function RuleForm(props: RuleFormProps): JSX.Element {
  const { start, payloadText, root, mapping, heard, timeZone, onUsed, onCancel } = props;
  const [typed, setDraft] = useState<RuleDraft>(start);
  const widening = wideningOf(typed, heard, mapping.rules);
  const draft = narrowed(typed, widening);
  const [saveProblems, setSaveProblems] = useState<readonly MappingProblem[]>([]);
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => heading.current?.focus(), []);
  const set = (patch: Partial<RuleDraft>): void => {
    setDraft({ ...draft, ...patch });
    setSaveProblems([]);
  };
  const taken = mapping.rules.map(({ id }) => id);
  const rule = ruleOf(draft, ruleId(draft.topic, taken));
  const trial = useTrial({ mapping, rule, topic: draft.topic, payload: { payloadText } });
  const { isBusy, press } = usePress(async () => {
    const problems = await saveMapping(trial.document);
    setSaveProblems(problems);
    if (problems.length === 0) await onUsed();
  });
  const picked = leavesOf(root).find(({ pointer }) => pointer === draft.at);
  return (
    <section class="fd-rule" aria-label="A rule for this message">
      <h3 ref={heading} tabIndex={-1}>
        A rule for {picked?.text ?? ''} {draft.at === '' ? '' : <code>{draft.at}</code>}
      </h3>
      <SelectField
        label="What the number is"
        value={draft.meaning}
        options={MEANING_OPTIONS.filter(({ value }) => value !== 'told' || draft.told !== null)}
        onChoice={(meaning: Meaning) => set({ meaning })}
      />
      <SelectField
        label="How it is written"
        value={draft.scale}
        options={SCALE_OPTIONS}
        onChoice={(scale) => set({ scale })}
      />
      <ScaleDoubt draft={draft} text={picked?.text ?? ''} set={set} />
      <ConverterFields draft={draft} set={set} />
      <NameFields draft={draft} root={root} start={start} widening={widening} set={set} />
      <TimeFields draft={draft} root={root} set={set} />
      <BatteryField draft={draft} root={root} set={set} />
      <RulePreview
        trial={trial}
        rule={rule}
        timeZone={timeZone}
        warnings={warningsOf(draft, root, { widening, rules: mapping.rules })}
        saveProblems={saveProblems}
      />
      <div class="pg-acts">
        <button type="button" class="pg-main" aria-disabled={isBusy} onClick={press}>
          Use this rule
        </button>
        <button type="button" onClick={onCancel}>
          Cancel
        </button>
      </div>
    </section>
  );
}
