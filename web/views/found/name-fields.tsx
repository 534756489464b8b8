import type { JSX } from 'preact';
import { SelectField, TextField, TickField } from '../../form/fields.tsx';
import { nameKey, nameOptions, namesOfEach, neighbours } from './name-options.ts';
import { othersLike } from './others-like.ts';
import { parentOf, pointerTo } from './payload-tree.ts';
import { isForSeveral } from './rule-draft.ts';
import type { NameChoice, RuleDraft } from './rule-draft.ts';
import type { Widening } from './widening.ts';
import type { DraftProps } from './draft-props.ts';

export type NameFieldsProps = DraftProps & {
  /** As it was when the value was picked. */
  start: RuleDraft;
  widening: Widening | null;
};

/** Where the name of the probe comes from, and which others the rule is for. */
export function NameFields(props: NameFieldsProps): JSX.Element {
  const { draft, root, widening, set } = props;
  const options = nameOptions(draft, root);
  const { name } = draft;
  return (
    <>
      <OthersTick {...props} />
      <SelectField
        label="The name of the probe"
        value={nameKey(name)}
        options={options}
        onChoice={(value) => {
          const chosen = options.find((option) => option.value === value);
          if (chosen !== undefined) set({ name: chosen.name });
        }}
      />
      {name.from === 'const' ? (
        <TextField
          label="Name"
          hint="Letters, digits and - : . / _"
          value={name.value}
          maxLength={128}
          onText={(value) => set({ name: { from: 'const', value } })}
        />
      ) : null}
      {name.from === 'topic' && widening?.kind === 'offered' ? (
        <TickField
          label={`The same for every other name at that level of the topic: ${widening.filter}`}
          isOn={name.isForAll}
          onTick={(isForAll) => set({ name: { ...name, isForAll } })}
        />
      ) : null}
      {name.from === 'topic' && widening?.kind === 'refused' ? <p class="pg-hint">{widening.why}</p> : null}
      {name.from === 'key' && name.below === '' ? (
        <KeyTicks draft={draft} root={root} set={set} name={name} />
      ) : null}
    </>
  );
}

/** The other probes of the same message: taken with one tick. */
function OthersTick({ draft, root, start, set }: NameFieldsProps): JSX.Element | null {
  const like = othersLike(root, draft.at);
  const { name } = draft;
  // those that merely stand beside it have a tick each once its own name names it
  if (like === null || (like.below === '' && name.from === 'key')) return null;
  const own = like.keys.filter((key) => !isWithin(draft.at, pointerTo(like.parent, key)));
  return (
    <TickField
      label={`And the others like it: ${own.map((key) => (like.isList ? `no. ${key}` : key)).join(', ')}`}
      isOn={isForSeveral(draft)}
      onTick={(isOn) => {
        const [each] = namesOfEach(like);
        set({ name: isOn && each !== undefined ? each : start.name });
      }}
    />
  );
}

function isWithin(pointer: string, holder: string): boolean {
  return pointer === holder || pointer.startsWith(`${holder}/`);
}

type KeyTicksProps = DraftProps & { name: Extract<NameChoice, { from: 'key' }> };

function KeyTicks({ draft, root, set, name }: KeyTicksProps): JSX.Element {
  const own = parentOf(root, draft.at)?.members.find(({ pointer }) => pointer === draft.at)?.name;
  return (
    <fieldset class="pg-field">
      <legend>Probes beside it that are read in the same way</legend>
      {neighbours(root, draft.at)
        .filter((key) => key !== own)
        .map((key) => (
          <TickField
            key={key}
            label={key}
            isOn={name.keys.includes(key)}
            onTick={(isOn) =>
              set({
                name: {
                  ...name,
                  keys: isOn ? [...name.keys, key] : name.keys.filter((other) => other !== key),
                },
              })
            }
          />
        ))}
    </fieldset>
  );
}
