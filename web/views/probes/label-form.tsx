import type { JSX } from 'preact';
import { SensorPatchSchema } from '../../../server/contract/probe.ts';
import type { SensorView } from '../../../server/contract/probe.ts';
import { check } from '../../form/check.ts';
import { TextField } from '../../form/fields.tsx';
import { FormFrame } from '../../form/form-frame.tsx';
import { useForm } from '../../form/use-form.ts';
import { change } from '../plan/save.ts';

const kept = new Map<string, { label: string }>();

export function LabelForm({ sensor, onDone }: { sensor: SensorView; onDone: () => void }): JSX.Element {
  const form = useForm({
    kept,
    key: sensor.id,
    initial: () => ({ label: sensor.label }),
    fields: () => ['label'],
    check: (draft) =>
      check({
        schema: SensorPatchSchema,
        candidate: draft,
        messages: { label: 'Give it a label of 1 to 60 letters.' },
      }),
    save: async (input) => {
      const problem = await change(`/api/sensors/${encodeURIComponent(sensor.id)}`, input);
      if (problem === null) onDone();
      return problem;
    },
  });
  return (
    <FormFrame
      form={form}
      title={`Label of ${sensor.id}`}
      saveWords="Save the label"
      isOpened
      onCancel={onDone}
    >
      <TextField
        label="Label"
        hint="What is written on it, or its colour"
        value={form.draft.label}
        error={form.errors['label']}
        maxLength={60}
        onText={(label) => form.set({ label })}
      />
    </FormFrame>
  );
}
