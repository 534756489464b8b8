import type { JSX } from 'preact';
import type { CookoutDetail } from '../../../server/contract/api.ts';
import type { SensorView } from '../../../server/contract/probe.ts';
import type { Batch, BatchInput, Dish } from '../../../server/contract/cookout.ts';
import { FormFrame } from '../../form/form-frame.tsx';
import { ChoiceField, SelectField, TextField } from '../../form/fields.tsx';
import type { Option } from '../../form/fields.tsx';
import { useForm } from '../../form/use-form.ts';
import type { Form } from '../../form/use-form.ts';
import { clockText } from '../../format/clock.ts';
import { probeOption } from '../../probe-words.ts';
import { PLACE_KIND_WORDS } from '../../food-words.ts';
import { batchDraft, batchFieldOf, checkBatch, newBatch } from './batch-draft.ts';
import type { BatchDraft } from './batch-draft.ts';
import { change, create } from './save.ts';

const kept = new Map<string, BatchDraft>();
const FIELDS = ['pieces', 'serveId', 'sensorId', 'placeId', 'clock'];
const WHEN_OPTIONS = [
  { value: 'worked-back', words: 'Worked back from the serving' },
  { value: 'at', words: 'At a time I set' },
] as const;

/** Every probe that was heard, and the chosen one even when it was not. */
export function probeOptions(sensors: readonly SensorView[], chosen: readonly string[]): Option<string>[] {
  const heard = sensors.map((sensor) => ({ value: sensor.id, words: probeOption(sensor) }));
  const unheard = chosen.filter((id) => id !== '' && !sensors.some((sensor) => sensor.id === id));
  return [...heard, ...unheard.map((id) => ({ value: id, words: `${id}: not heard yet` }))];
}

type FieldsProps = { form: Form<BatchDraft>; detail: CookoutDetail; sensors: readonly SensorView[] };

function BatchFields({ form, detail, sensors }: FieldsProps): JSX.Element {
  const { draft, errors } = form;
  const { serves, timeZone } = detail.cookout;
  const serveOptions = serves.map(({ id, atMs }) => ({
    value: id,
    words: `Serving at ${clockText(atMs, timeZone)}`,
  }));
  const placeOptions = detail.places.map(({ id, name, kind }) => ({
    value: id,
    words: `${name} (${PLACE_KIND_WORDS[kind].toLowerCase()})`,
  }));
  const noProbes =
    sensors.length === 0 ? { hint: 'No probes heard yet. Switch one on and it appears here.' } : {};
  return (
    <>
      <TextField
        label="Pieces"
        isNumber
        value={draft.pieces}
        error={errors['pieces']}
        onText={(pieces) => form.set({ pieces })}
      />
      <SelectField
        label="For which serving"
        value={draft.serveId}
        options={[...serveOptions, { value: '', words: 'No serving time' }]}
        error={errors['serveId']}
        onChoice={(serveId) => form.set({ serveId })}
      />
      <SelectField
        label="Probe"
        {...noProbes}
        value={draft.sensorId}
        options={[{ value: '', words: 'No probe yet' }, ...probeOptions(sensors, [draft.sensorId])]}
        error={errors['sensorId']}
        onChoice={(sensorId) => form.set({ sensorId })}
      />
      <SelectField
        label="Where it cooks or waits"
        value={draft.placeId}
        options={[...placeOptions, { value: '', words: 'Not decided' }]}
        error={errors['placeId']}
        onChoice={(placeId) => form.set({ placeId })}
      />
      <ChoiceField
        label="When it goes on"
        value={draft.when}
        options={WHEN_OPTIONS}
        onChoice={(when) => form.set({ when })}
      />
      {draft.when === 'at' ? (
        <div class="pg-row">
          <TextField
            label="On at"
            type="time"
            value={draft.clock}
            error={errors['clock']}
            onText={(clock) => form.set({ clock })}
          />
          <TextField
            label="Day"
            type="date"
            value={draft.date}
            onText={(date) => form.change({ ...draft, date }, ['clock'])}
          />
        </div>
      ) : null}
    </>
  );
}

export type BatchFormProps = {
  detail: CookoutDetail;
  dish: Dish;
  batch: Batch | null;
  sensors: readonly SensorView[];
  onSaved: () => void;
  onCancel: () => void;
};

export function BatchForm({ detail, dish, batch, sensors, onSaved, onCancel }: BatchFormProps): JSX.Element {
  const form = useForm({
    kept,
    key: batch?.id ?? `new:${dish.id}`,
    initial: () => (batch === null ? newBatch(detail, dish) : batchDraft(batch, detail)),
    fields: () => FIELDS,
    fieldOf: batchFieldOf,
    check: (draft) => checkBatch(draft, detail.cookout.timeZone),
    save: async (input: BatchInput) => {
      const saved = batch === null ? await create(`/api/dishes/${dish.id}/batches`, input) : null;
      const problem =
        saved === null
          ? await change(`/api/batches/${batch?.id ?? ''}`, input)
          : saved.ok
            ? null
            : saved.problem;
      if (problem === null) onSaved();
      return problem;
    },
  });
  const title = batch === null ? `A batch of ${dish.name}` : `Change ${dish.name}, ${batch.label}`;
  return (
    <FormFrame form={form} title={title} saveWords="Save the batch" isOpened onCancel={onCancel}>
      <BatchFields form={form} detail={detail} sensors={sensors} />
    </FormFrame>
  );
}
