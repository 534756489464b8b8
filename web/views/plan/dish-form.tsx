import type { JSX } from 'preact';
import type { Dish, DishInput } from '../../../server/contract/cookout.ts';
import { FOODS, SHAPES } from '../../../server/contract/food.ts';
import { SHORT_NAME_MAX } from '../../../server/contract/text.ts';
import { FormFrame } from '../../form/form-frame.tsx';
import { ChoiceField, SelectField, TextField, TickField } from '../../form/fields.tsx';
import { useForm } from '../../form/use-form.ts';
import type { Form } from '../../form/use-form.ts';
import { FOOD_WORDS, SHAPE_WORDS, THICKNESS_WORDS } from '../../food-words.ts';
import { checkDish, dishDraft, dishFieldOf, newDish, withFood } from './dish-draft.ts';
import type { DishDraft } from './dish-draft.ts';
import { change, create } from './save.ts';
import { shortName, shortOf } from './short-name.ts';

const kept = new Map<string, DishDraft>();
const FIELDS = [
  'name',
  'short',
  'food',
  'shape',
  'thicknessMm',
  'targetC',
  'clockMin',
  'restMin',
  'turnMin',
  'heatMin',
];
const FOOD_OPTIONS = FOODS.map((value) => ({ value, words: FOOD_WORDS[value] }));
const SHAPE_OPTIONS = SHAPES.map((value) => ({ value, words: SHAPE_WORDS[value] }));
const COOK_OPTIONS = [
  { value: 'target', words: 'To a core temperature' },
  { value: 'clock', words: 'By the clock' },
] as const;
const TURN_OPTIONS = [
  { value: 'none', words: 'Not turned' },
  { value: 'once', words: 'Once, half-way' },
  { value: 'every', words: 'Every few minutes' },
] as const;

type Part = { form: Form<DishDraft> };

/** The row of the live screen has room for ten letters; the cook sees at once what will stand there. */
function NameFields({ form }: Part): JSX.Element {
  const { draft, errors } = form;
  const short = shortOf(draft);
  return (
    <>
      <TextField
        label="Dish"
        hint="For example: Chicken thighs"
        value={draft.name}
        error={errors['name']}
        maxLength={60}
        onText={(name) => form.set({ name })}
      />
      <div class="pg-row">
        <TextField
          label="Short name for the live screen"
          hint={`At most ${String(SHORT_NAME_MAX)} letters. Empty: ${shortName(draft.name) || 'made from the name'}`}
          value={draft.short}
          error={errors['short']}
          maxLength={SHORT_NAME_MAX}
          onText={(text) => form.set({ short: text })}
        />
        <p class="pg-preview" aria-live="polite">
          <span class="vh">On the live screen: </span>
          <b>{short === '' ? '–' : short}</b>
        </p>
      </div>
    </>
  );
}

function FoodFields({ form }: Part): JSX.Element {
  const { draft, errors } = form;
  return (
    <>
      <SelectField
        label="Food"
        value={draft.food}
        options={FOOD_OPTIONS}
        error={errors['food']}
        onChoice={(food) => form.change(withFood(draft, food), FIELDS)}
      />
      <SelectField
        label="Shape of one piece"
        value={draft.shape}
        options={SHAPE_OPTIONS}
        error={errors['shape']}
        onChoice={(shape) => form.set({ shape })}
      />
      <TextField
        label={THICKNESS_WORDS[draft.shape]}
        unit="mm"
        isNumber
        value={draft.thicknessMm}
        error={errors['thicknessMm']}
        onText={(thicknessMm) => form.set({ thicknessMm })}
      />
    </>
  );
}

function CookFields({ form }: Part): JSX.Element {
  const { draft, errors } = form;
  return (
    <>
      <ChoiceField
        label="How you know it is done"
        value={draft.cookBy}
        options={COOK_OPTIONS}
        onChoice={(cookBy) => form.set({ cookBy })}
      />
      {draft.cookBy === 'target' ? (
        <TextField
          label="Take off at a core of"
          unit="°C"
          isNumber
          hint="Doneness. The limit that is watched comes from the rules of the occasion."
          value={draft.targetC}
          error={errors['targetC']}
          onText={(targetC) => form.set({ targetC })}
        />
      ) : (
        <TextField
          label="Time on the fire"
          unit="min"
          isNumber
          value={draft.clockMin}
          error={errors['clockMin']}
          onText={(clockMin) => form.set({ clockMin })}
        />
      )}
      <TextField
        label="Rest after it comes off"
        unit="min"
        isNumber
        value={draft.restMin}
        error={errors['restMin']}
        onText={(restMin) => form.set({ restMin })}
      />
      <ChoiceField
        label="Turning"
        value={draft.turn}
        options={TURN_OPTIONS}
        onChoice={(turn) => form.set({ turn })}
      />
      {draft.turn === 'every' ? (
        <TextField
          label="Turn every"
          unit="min"
          isNumber
          value={draft.turnMin}
          error={errors['turnMin']}
          onText={(turnMin) => form.set({ turnMin })}
        />
      ) : null}
      <TickField
        label="Reserve: made ahead, heated for rain or a gap"
        isOn={draft.reserve}
        onTick={(reserve) => form.set({ reserve })}
      />
      {draft.reserve ? (
        <TextField
          label="Time to heat it"
          unit="min"
          isNumber
          value={draft.heatMin}
          error={errors['heatMin']}
          onText={(heatMin) => form.set({ heatMin })}
        />
      ) : null}
    </>
  );
}

export type DishFormProps = {
  cookoutId: string;
  dish: Dish | null;
  onSaved: (dishId: string) => void;
  onCancel?: () => void;
};

export function DishForm({ cookoutId, dish, onSaved, onCancel }: DishFormProps): JSX.Element {
  const form = useForm({
    kept,
    key: dish?.id ?? `new:${cookoutId}`,
    initial: () => (dish === null ? newDish('chicken') : dishDraft(dish)),
    fields: () => FIELDS,
    fieldOf: dishFieldOf,
    check: checkDish,
    save: async (input: DishInput) => {
      if (dish !== null) {
        const problem = await change(`/api/dishes/${dish.id}`, input);
        if (problem === null) onSaved(dish.id);
        return problem;
      }
      const saved = await create(`/api/cookouts/${cookoutId}/dishes`, input);
      if (!saved.ok) return saved.problem;
      onSaved(saved.id);
      return null;
    },
  });
  return (
    <FormFrame
      form={form}
      title={dish === null ? 'A dish' : `Change ${dish.name}`}
      saveWords="Save the dish"
      isOpened={onCancel !== undefined}
      {...(onCancel === undefined ? {} : { onCancel })}
    >
      <NameFields form={form} />
      <FoodFields form={form} />
      <CookFields form={form} />
    </FormFrame>
  );
}
