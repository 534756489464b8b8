import type { JSX } from 'preact';
import { SelectField, TextField, TickField } from '../../form/fields.tsx';
import { nameKey, nameOptions, neighbours } from './name-options.ts';
import { parentOf } from './payload-tree.ts';
import type { NameChoice } from './rule-draft.ts';
import type { DraftProps } from './draft-props.ts';

/** Where the name of the probe comes from. */
export function NameFields({ draft, root, set }: DraftProps): JSX.Element {
  const options = nameOptions(draft, root);
  const { name } = draft;
  return (
    <>
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
      {name.from === 'topic' ? (
        <TickField
          label="The same for every other name at that level of the topic"
          isOn={name.isForAll}
          onTick={(isForAll) => set({ name: { ...name, isForAll } })}
        />
      ) : null}
      {name.from === 'key' ? <KeyTicks draft={draft} root={root} set={set} name={name} /> : null}
    </>
  );
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
