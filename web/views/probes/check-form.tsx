import type { JSX } from 'preact';
import { useRef } from 'preact/hooks';
import { CheckAnswerSchema } from '../../../server/contract/probe.ts';
import type { CheckAnswer, ProbeCheckInput, SensorView } from '../../../server/contract/probe.ts';
import { api } from '../../api-client.ts';
import { ChoiceField, TextField } from '../../form/fields.tsx';
import { FormFrame } from '../../form/form-frame.tsx';
import { useForm } from '../../form/use-form.ts';
import { spanText } from '../../format/duration.ts';
import { degText } from '../../format/temperature.ts';
import { Glyph } from '../../glyph.tsx';
import { probeName, probeNews } from '../../probe-words.ts';
import { CHECK_STEPS, checkFields, checkInput, newCheck, typedHint } from './check-draft.ts';
import type { CheckDraft } from './check-draft.ts';
import { NewestValue } from './newest-value.tsx';
import { probePath } from './probe-path.ts';
import { steadinessOf, withSample } from './steadiness.ts';
import type { Sample, Steadiness } from './steadiness.ts';

const kept = new Map<string, CheckDraft>();
const KIND_OPTIONS = [
  { value: 'ice', words: 'Ice water' },
  { value: 'boil', words: 'Boiling water' },
] as const;

function steadyText(steadiness: Steadiness): string {
  switch (steadiness.kind) {
    case 'watching':
      return `No change seen so far. Watch it for ${spanText(steadiness.leftMs)} more.`;
    case 'moving':
      return `Still moving: ${degText(steadiness.byC)} within the last minute. Wait.`;
    case 'steady':
      return 'It stands still.';
  }
}

/** Whether the live value has come to rest while the form was open. */
function Rest({ sensor }: { sensor: SensorView }): JSX.Element | null {
  const samples = useRef<readonly Sample[]>([]);
  const news = probeNews(sensor);
  if (news.kind !== 'live' || sensor.lastAtMs === null) {
    samples.current = [];
    return null;
  }
  samples.current = withSample(samples.current, sensor.lastAtMs, news.tempC);
  const steadiness = steadinessOf(samples.current);
  return (
    <p class="pr-rest">
      <Glyph name={steadiness.kind === 'steady' ? 'seen' : 'clock'} /> {steadyText(steadiness)}
    </p>
  );
}

export type CheckFormProps = {
  sensor: SensorView;
  /** Of the cookout; null when there is none. */
  altitudeM: number | null;
  timeZone: string;
  onAnswer: (answer: CheckAnswer) => void;
  onCancel: () => void;
};

/** Ice or boiling water: what to do, the live value, and the reading that is taken. */
export function CheckForm(props: CheckFormProps): JSX.Element {
  const { sensor, altitudeM, timeZone, onAnswer, onCancel } = props;
  const form = useForm({
    kept,
    key: sensor.id,
    initial: () => newCheck(altitudeM),
    fields: checkFields,
    check: checkInput,
    save: async (input: ProbeCheckInput) => {
      const answer = await api('POST', probePath(sensor.id, 'checks'), CheckAnswerSchema, input);
      if (!answer.ok) return answer.problem;
      onAnswer(answer.value);
      return null;
    },
  });
  const { draft, errors } = form;
  const typed = draft.readC.trim();
  return (
    <FormFrame
      form={form}
      title={`Check ${probeName(sensor)}`}
      saveWords={typed === '' ? 'Take this reading' : `Take ${typed}°`}
      isOpened
      onCancel={onCancel}
    >
      <ChoiceField
        label="What it is held in"
        value={draft.kind}
        options={KIND_OPTIONS}
        error={errors['kind']}
        onChoice={(kind) => form.set({ kind })}
      />
      <ol class="pr-steps">
        {CHECK_STEPS[draft.kind].map((step) => (
          <li key={step}>{step}</li>
        ))}
      </ol>
      {draft.kind === 'boil' ? (
        <TextField
          label="Height above the sea"
          hint="Water boils cooler the higher you are: about 1° for every 300 m"
          unit="m"
          isNumber
          value={draft.altitudeM}
          error={errors['altitudeM']}
          onText={(text) => form.set({ altitudeM: text })}
        />
      ) : null}
      <div class="pr-live">
        <NewestValue sensor={sensor} timeZone={timeZone} />
        <Rest sensor={sensor} />
      </div>
      <TextField
        label="Or type what it reads"
        hint={typedHint(sensor)}
        unit="°C"
        isNumber
        value={draft.readC}
        error={errors['readC']}
        onText={(readC) => form.set({ readC })}
      />
    </FormFrame>
  );
}
