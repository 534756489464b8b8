import type { JSX } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import * as z from 'zod/mini';
import { AccessSchema, RejectViewSchema, SensorPatchSchema } from '../../server/contract/api.ts';
import type { CookoutDetail, Problem, RejectView, SensorView } from '../../server/contract/api.ts';
import { api, problemText } from '../api-client.ts';
import type { ApiResult } from '../api-client.ts';
import { check } from '../form/check.ts';
import { SelectField, TextField } from '../form/fields.tsx';
import { FormFrame } from '../form/form-frame.tsx';
import { useForm } from '../form/use-form.ts';
import { clockText } from '../format/clock.ts';
import { agoText } from '../format/duration.ts';
import { degText } from '../format/temperature.ts';
import { Glyph } from '../glyph.tsx';
import { PageHead } from '../page-head.tsx';
import { probeNews, qualityText } from '../probe-words.ts';
import { usePlan, useSensors } from './plan/plan-data.ts';
import { change } from './plan/save.ts';
import { rejectWords } from './reject-words.ts';
import { movePatches, moveProbe, seatKey, seatsOf } from './seat-probe.ts';
import '../styles/forms.css';
import '../styles/cards.css';

const SENSORS_EVERY_MS = 2_000;
const REJECTS_EVERY_MS = 10_000;
const RejectListSchema = z.array(RejectViewSchema);
const keptLabels = new Map<string, { label: string }>();

/** The newest value, large while it is live; what is old is named old and never looks live. */
function Newest({ sensor }: { sensor: SensorView }): JSX.Element {
  const news = probeNews(sensor);
  const quality = qualityText(sensor.quality);
  switch (news.kind) {
    case 'live':
      return (
        <p class="pg-newest">
          <b>{degText(news.tempC)}</b> {agoText(news.ageMs)}
          {quality === null ? '' : `, ${quality}`}
        </p>
      );
    case 'old':
      return (
        <p class="pg-newest pg-lost">
          <b>?</b> silent, last <s>{degText(news.tempC)}</s> {agoText(news.ageMs)}
        </p>
      );
    case 'ahead':
      return (
        <p class="pg-newest pg-lost">
          <b>?</b> its clock is ahead of ours, so nobody can tell how old this is
        </p>
      );
    case 'never':
      return (
        <p class="pg-newest pg-lost">
          <b>?</b> never heard
        </p>
      );
  }
}

function LabelForm({ sensor, onDone }: { sensor: SensorView; onDone: () => void }): JSX.Element {
  const form = useForm({
    kept: keptLabels,
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

type SeatProps = { sensor: SensorView; detail: CookoutDetail; reload: () => Promise<void> };

function SeatChoice({ sensor, detail, reload }: SeatProps): JSX.Element {
  const [problem, setProblem] = useState<Problem | null>(null);
  const [moved, setMoved] = useState<string | null>(null);
  const seats = seatsOf(detail);
  const serverKey = seatKey(sensor.assignedTo);
  const now = moved ?? serverKey;
  const known = seats.some(({ key }) => key === now) || now === '';
  const elsewhere = known ? [] : [{ value: now, words: sensor.assignedTo?.name ?? now }];
  useEffect(() => setMoved(null), [serverKey]);
  const move = async (to: string): Promise<void> => {
    setMoved(to);
    const failed = await moveProbe(movePatches(detail, sensor.id, { from: now, to }));
    setProblem(failed);
    if (failed !== null) setMoved(null);
    await reload();
  };
  return (
    <SelectField
      label="Sits in"
      value={now}
      options={[
        { value: '', words: 'Nothing: not assigned' },
        ...elsewhere,
        ...seats.map(({ key, words }) => ({ value: key, words })),
      ]}
      error={problem === null ? undefined : problemText(problem)}
      onChoice={(to) => void move(to)}
    />
  );
}

type ProbeProps = { sensor: SensorView; detail: CookoutDetail | null; reload: () => Promise<void> };

function Probe({ sensor, detail, reload }: ProbeProps): JSX.Element {
  const [isLabelling, setLabelling] = useState(false);
  const hasOwnLabel = sensor.label !== '' && sensor.label !== sensor.id;
  return (
    <li class="pg-card">
      <h2 class="pg-name">
        {hasOwnLabel ? sensor.label : sensor.id} {hasOwnLabel ? <small>{sensor.id}</small> : null}
      </h2>
      <Newest sensor={sensor} />
      {sensor.assignedTo === null ? (
        <p class="pg-unseated">Not assigned: nothing is watched with it.</p>
      ) : null}
      {detail === null ? null : <SeatChoice sensor={sensor} detail={detail} reload={reload} />}
      {isLabelling ? (
        <LabelForm sensor={sensor} onDone={() => setLabelling(false)} />
      ) : (
        <div class="pg-acts">
          <button type="button" aria-label={`Label it: ${sensor.id}`} onClick={() => setLabelling(true)}>
            Label it
          </button>
        </div>
      )}
    </li>
  );
}

function useMqttUrl(): string | null {
  const [url, setUrl] = useState<string | null>(null);
  useEffect(() => {
    let isHere = true;
    void api('GET', '/api/access', AccessSchema).then((answer) => {
      if (isHere && answer.ok) setUrl(answer.value.mqttUrl);
    });
    return () => {
      isHere = false;
    };
  }, []);
  return url;
}

function WhereItListens(): JSX.Element {
  const mqttUrl = useMqttUrl();
  return (
    <section aria-label="Where Tongside listens">
      <h2>Where Tongside listens</h2>
      <p>
        {mqttUrl === null ? 'MQTT, where the server says when it starts.' : 'MQTT at '}
        {mqttUrl === null ? null : <code>{mqttUrl}</code>}
        {mqttUrl === null ? null : '.'} Topic <code>tongside/reading/&lt;name of the probe&gt;</code>, payload
        a bare number in °C such as <code>63.5</code>. A new probe appears here by itself.
      </p>
    </section>
  );
}

function Rejects({
  answer,
  timeZone,
}: {
  answer: ApiResult<RejectView[]> | null;
  timeZone: string;
}): JSX.Element | null {
  if (answer === null) return null;
  return (
    <section class="pg-rejects" aria-label="What was not understood">
      <h2>What was not understood</h2>
      {answer.ok ? null : <p class="pg-trouble">{answer.problem.title}</p>}
      {answer.ok && answer.value.length === 0 ? <p>Nothing. Every message so far was a reading.</p> : null}
      {answer.ok ? (
        <ul>
          {answer.value.map((reject) => (
            <li key={`${String(reject.receivedMs)} ${reject.topic} ${reject.payloadText}`}>
              <p>
                <b>{rejectWords(reject.reason)}</b> {clockText(reject.receivedMs, timeZone)},{' '}
                <code>{reject.topic}</code>
              </p>
              {reject.detail === '' || reject.detail === reject.payloadText ? null : <p>{reject.detail}</p>}
              <code class="pg-payload">{reject.payloadText === '' ? '(empty)' : reject.payloadText}</code>
            </li>
          ))}
        </ul>
      ) : null}
    </section>
  );
}

function useRejects(): ApiResult<RejectView[]> | null {
  const [answer, setAnswer] = useState<ApiResult<RejectView[]> | null>(null);
  useEffect(() => {
    let isHere = true;
    const ask = async (): Promise<void> => {
      const next = await api('GET', '/api/rejects', RejectListSchema);
      if (isHere) setAnswer(next);
    };
    void ask();
    const timer = setInterval(() => void ask(), REJECTS_EVERY_MS);
    return () => {
      isHere = false;
      clearInterval(timer);
    };
  }, []);
  return answer;
}

export function ProbesView(): JSX.Element {
  const sensors = useSensors(SENSORS_EVERY_MS);
  const rejects = useRejects();
  const { plan, reload } = usePlan();
  const detail = plan.kind === 'ready' ? plan.detail : null;
  const timeZone = detail?.cookout.timeZone ?? Intl.DateTimeFormat().resolvedOptions().timeZone;
  return (
    <div class="pg-page">
      <PageHead title="Probes" />
      <main class="pg-column">
        {sensors?.ok === false ? (
          <p class="pg-trouble" role="alert">
            <Glyph name="lost" /> {sensors.problem.title}. No probe is shown, because nobody can tell what it
            reads now.
          </p>
        ) : null}
        {sensors?.ok === true && sensors.value.length === 0 ? (
          <p class="pg-empty">No probes yet. Switch one on.</p>
        ) : null}
        {plan.kind === 'none' ? (
          <p>
            There is no cookout to assign probes to. <a href="#/plan">Start a plan</a>
          </p>
        ) : null}
        <ul class="pg-cards">
          {sensors?.ok === true
            ? sensors.value.map((sensor) => (
                <Probe key={sensor.id} sensor={sensor} detail={detail} reload={reload} />
              ))
            : null}
        </ul>
        <WhereItListens />
        <Rejects answer={rejects} timeZone={timeZone} />
      </main>
    </div>
  );
}
