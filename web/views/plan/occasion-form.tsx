import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import type { Cookout, CookoutInput } from '../../../server/contract/cookout.ts';
import { RULE_SETS } from '../../../server/contract/food.ts';
import { FormFrame } from '../../form/form-frame.tsx';
import { ChoiceField, TextField, TickField } from '../../form/fields.tsx';
import { useForm } from '../../form/use-form.ts';
import type { Form } from '../../form/use-form.ts';
import { RULE_SET_WORDS } from '../../food-words.ts';
import { SERVES_MAX, checkOccasion, newOccasion, occasionDraft, withServe } from './occasion-draft.ts';
import type { OccasionDraft, ServeDraft } from './occasion-draft.ts';
import { FIRST_PLACES } from './place-draft.ts';
import { change, create } from './save.ts';

const kept = new Map<string, OccasionDraft>();
const TIME_ZONES = Intl.supportedValuesOf('timeZone');
const RULE_OPTIONS = RULE_SETS.map((value) => {
  const { name, gist } = RULE_SET_WORDS[value];
  return { value, words: `${name}: ${gist}` };
});

function fieldsOf(draft: OccasionDraft): string[] {
  const serves = draft.serves.map((_, index) => `serves.${String(index)}`);
  return ['name', 'guests', 'ruleSet', 'timeZone', 'altitudeM', 'serves', ...serves];
}

type ServeRowProps = { form: Form<OccasionDraft>; serve: ServeDraft; index: number };

function ServeRow({ form, serve, index }: ServeRowProps): JSX.Element {
  const { draft, errors } = form;
  const field = `serves.${String(index)}`;
  const set = (patch: Partial<ServeDraft>): void => {
    const serves = draft.serves.map((other, at) => (at === index ? { ...other, ...patch } : other));
    form.change({ ...draft, serves }, [field]);
  };
  const drop = (): void => {
    const serves = draft.serves.filter((_, at) => at !== index);
    form.change({ ...draft, serves }, fieldsOf(draft));
  };
  const nth = draft.serves.length === 1 ? '' : ` ${index + 1}`;
  return (
    <div class="pg-row">
      <TextField
        label={`Serving${nth} at`}
        type="time"
        value={serve.clock}
        error={errors[field]}
        onText={(clock) => set({ clock })}
      />
      <TextField label="Day" type="date" value={serve.date} onText={(date) => set({ date })} />
      <button type="button" aria-label={`Remove serving${nth}`} onClick={drop}>
        Remove
      </button>
    </div>
  );
}

function OccasionFields({ form }: { form: Form<OccasionDraft> }): JSX.Element {
  const { draft, errors } = form;
  return (
    <>
      <TextField
        label="What is it"
        hint="For example: Harvest supper"
        value={draft.name}
        error={errors['name']}
        maxLength={60}
        onText={(name) => form.set({ name })}
      />
      <TextField
        label="Guests"
        isNumber
        value={draft.guests}
        error={errors['guests']}
        onText={(guests) => form.set({ guests })}
      />
      <ChoiceField
        label="Whose limits apply"
        value={draft.ruleSet}
        options={RULE_OPTIONS}
        error={errors['ruleSet']}
        onChoice={(ruleSet) => form.set({ ruleSet })}
      />
      <div
        class="pg-group"
        role="group"
        aria-label="Servings"
        data-invalid={errors['serves'] === undefined ? undefined : 'true'}
        tabIndex={-1}
      >
        {errors['serves'] === undefined ? null : <p class="pg-complaint">{errors['serves']}</p>}
        {draft.serves.map((serve, index) => (
          <ServeRow key={index} form={form} serve={serve} index={index} />
        ))}
        {draft.serves.length >= SERVES_MAX ? null : (
          <button type="button" onClick={() => form.change(withServe(draft, Date.now()), ['serves'])}>
            Add a serving
          </button>
        )}
      </div>
      <details open={errors['timeZone'] !== undefined || errors['altitudeM'] !== undefined}>
        <summary>
          Times are in {draft.timeZone}, {draft.altitudeM === '' ? '?' : draft.altitudeM} m above the sea
        </summary>
        <TextField
          label="Time zone"
          value={draft.timeZone}
          error={errors['timeZone']}
          list="time-zones"
          onText={(timeZone) => form.set({ timeZone })}
        />
        <datalist id="time-zones">
          {TIME_ZONES.map((zone) => (
            <option key={zone} value={zone} />
          ))}
        </datalist>
        <TextField
          label="Height above the sea"
          unit="m"
          isNumber
          value={draft.altitudeM}
          error={errors['altitudeM']}
          onText={(altitudeM) => form.set({ altitudeM })}
        />
      </details>
    </>
  );
}

/** How many of the first places could be made, one after the other so that they keep their order. */
async function addFirstPlaces(cookoutId: string): Promise<number> {
  let made = 0;
  for (const place of FIRST_PLACES) {
    const saved = await create(`/api/cookouts/${cookoutId}/places`, place);
    if (saved.ok) made += 1;
  }
  return made;
}

/** `onStarted` is told what could not be made, or null. */
export function StartForm({ onStarted }: { onStarted: (missing: string | null) => void }): JSX.Element {
  const [withPlaces, setWithPlaces] = useState(true);
  const form = useForm({
    kept,
    key: 'new',
    initial: () => newOccasion(Date.now(), Intl.DateTimeFormat().resolvedOptions().timeZone),
    fields: fieldsOf,
    check: checkOccasion,
    save: async (input: CookoutInput) => {
      const cookout = await create('/api/cookouts', input);
      if (!cookout.ok) return cookout.problem;
      const isWhole = !withPlaces || (await addFirstPlaces(cookout.id)) === FIRST_PLACES.length;
      onStarted(
        isWhole ? null : 'The plan is started, but not every place could be made. Add what is missing.',
      );
      return null;
    },
  });
  return (
    <FormFrame form={form} title="Start a plan" saveWords="Start the plan">
      <OccasionFields form={form} />
      <TickField
        label="With a grill in three parts (hot, middle, gentle) and one cooler bag. They can be changed."
        isOn={withPlaces}
        onTick={setWithPlaces}
      />
    </FormFrame>
  );
}

export function OccasionForm({ cookout, onSaved }: { cookout: Cookout; onSaved: () => void }): JSX.Element {
  const form = useForm({
    kept,
    key: cookout.id,
    initial: () => occasionDraft(cookout),
    fields: fieldsOf,
    check: checkOccasion,
    save: async (input: CookoutInput) => {
      const problem = await change(`/api/cookouts/${cookout.id}`, input);
      if (problem === null) onSaved();
      return problem;
    },
  });
  return (
    <FormFrame form={form} title="The occasion" saveWords="Save the occasion">
      <OccasionFields form={form} />
    </FormFrame>
  );
}
