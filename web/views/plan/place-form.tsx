import type { JSX } from 'preact';
import type { SensorView } from '../../../server/contract/probe.ts';
import { PLACE_KINDS } from '../../../server/contract/cookout.ts';
import type { Place, PlaceInput, PlaceKind } from '../../../server/contract/cookout.ts';
import { HEATS } from '../../../server/contract/food.ts';
import { SHORT_NAME_MAX } from '../../../server/contract/text.ts';
import { FormFrame } from '../../form/form-frame.tsx';
import { ChoiceField, TextField, TickField } from '../../form/fields.tsx';
import { useForm } from '../../form/use-form.ts';
import type { Form } from '../../form/use-form.ts';
import { HEAT_WORDS, PLACE_KIND_WORDS } from '../../food-words.ts';
import { probeOptions } from './batch-form.tsx';
import { checkPlace, hasRoom, newPlace, placeDraft } from './place-draft.ts';
import type { PlaceDraft } from './place-draft.ts';
import { change, create } from './save.ts';
import { shortName } from './short-name.ts';

const kept = new Map<string, PlaceDraft>();
const FIELDS = ['kind', 'name', 'short', 'heat', 'litres', 'sensorIds'];
const KIND_OPTIONS = PLACE_KINDS.map((value) => ({ value, words: PLACE_KIND_WORDS[value] }));
const HEAT_OPTIONS = HEATS.map((value) => ({ value, words: HEAT_WORDS[value] }));
const NAME_HINTS: Record<PlaceKind, string> = {
  cooler: 'For example: Raw meat bag',
  zone: 'For example: Left side',
  pot: 'For example: Barley pot',
  bench: 'For example: Carving table',
};

type FieldsProps = { form: Form<PlaceDraft>; sensors: readonly SensorView[] };

function ProbeTicks({ form, sensors }: FieldsProps): JSX.Element {
  const { sensorIds } = form.draft;
  const error = form.errors['sensorIds'];
  return (
    <fieldset
      class="pg-field"
      data-invalid={error === undefined ? undefined : 'true'}
      tabIndex={error === undefined ? undefined : -1}
    >
      <legend>Probes in it</legend>
      {sensors.length === 0 ? (
        <p class="pg-hint">No probes heard yet. Switch one on and it appears here.</p>
      ) : null}
      {probeOptions(sensors, sensorIds).map(({ value, words }) => (
        <TickField
          key={value}
          label={words}
          isOn={sensorIds.includes(value)}
          onTick={(isOn) =>
            form.set({ sensorIds: isOn ? [...sensorIds, value] : sensorIds.filter((id) => id !== value) })
          }
        />
      ))}
      {error === undefined ? null : <p class="pg-complaint">{error}</p>}
    </fieldset>
  );
}

function PlaceFields({ form, sensors }: FieldsProps): JSX.Element {
  const { draft, errors } = form;
  return (
    <>
      <ChoiceField
        label="What kind of place"
        value={draft.kind}
        options={KIND_OPTIONS}
        error={errors['kind']}
        onChoice={(kind) => form.set({ kind })}
      />
      <TextField
        label="Name"
        hint={NAME_HINTS[draft.kind]}
        value={draft.name}
        error={errors['name']}
        maxLength={60}
        onText={(name) => form.set({ name })}
      />
      <TextField
        label="Short name for the live screen"
        hint={`At most ${String(SHORT_NAME_MAX)} letters. Empty: ${shortName(draft.name) || 'made from the name'}`}
        value={draft.short}
        error={errors['short']}
        maxLength={SHORT_NAME_MAX}
        onText={(short) => form.set({ short })}
      />
      {draft.kind === 'zone' ? (
        <ChoiceField
          label="How hot it is"
          value={draft.heat}
          options={HEAT_OPTIONS}
          error={errors['heat']}
          onChoice={(heat) => form.set({ heat })}
        />
      ) : null}
      {hasRoom(draft.kind) ? (
        <TextField
          label="Room inside, if known"
          unit="litres"
          isNumber
          value={draft.litres}
          error={errors['litres']}
          onText={(litres) => form.set({ litres })}
        />
      ) : null}
      <ProbeTicks form={form} sensors={sensors} />
    </>
  );
}

export type PlaceFormProps = {
  cookoutId: string;
  place: Place | null;
  sensors: readonly SensorView[];
  onSaved: () => void;
  onCancel: () => void;
};

export function PlaceForm({ cookoutId, place, sensors, onSaved, onCancel }: PlaceFormProps): JSX.Element {
  const form = useForm({
    kept,
    key: place?.id ?? `new:${cookoutId}`,
    initial: () => (place === null ? newPlace('cooler') : placeDraft(place)),
    fields: () => FIELDS,
    check: checkPlace,
    save: async (input: PlaceInput) => {
      const saved = place === null ? await create(`/api/cookouts/${cookoutId}/places`, input) : null;
      const problem =
        saved === null
          ? await change(`/api/places/${place?.id ?? ''}`, input)
          : saved.ok
            ? null
            : saved.problem;
      if (problem === null) onSaved();
      return problem;
    },
  });
  return (
    <FormFrame
      form={form}
      title={place === null ? 'A place' : `Change ${place.name}`}
      saveWords="Save the place"
      isOpened
      onCancel={onCancel}
    >
      <PlaceFields form={form} sensors={sensors} />
    </FormFrame>
  );
}
