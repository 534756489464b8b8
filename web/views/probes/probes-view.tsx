import type { JSX } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { AccessSchema } from '../../../server/contract/api.ts';
import type { SensorView } from '../../../server/contract/probe.ts';
import { api } from '../../api-client.ts';
import { Glyph } from '../../glyph.tsx';
import { PageHead } from '../../page-head.tsx';
import { counted } from '../../words.ts';
import { useFound } from '../found/found-data.ts';
import { usePlan } from '../plan/plan-data.ts';
import { useLiveSensors } from './live-sensors.ts';
import { ProbeCard } from './probe-card.tsx';
import type { ProbeCardProps } from './probe-card.tsx';
import { probeOrder } from './probe-order.ts';
import { WarmPanel } from './warm-panel.tsx';
import '../../styles/forms.css';
import '../../styles/cards.css';
import '../../styles/probes.css';

const SENSORS_EVERY_MS = 2_000;

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

function FoundLink(): JSX.Element {
  const { answer } = useFound();
  const count = answer?.ok === true ? answer.value.length : null;
  const words = count === null ? '' : `: ${count === 0 ? 'nothing' : counted(count, 'topic')}`;
  return (
    <a class="pg-next" href="#/found">
      Heard but not understood{words}
    </a>
  );
}

type CardsProps = Omit<ProbeCardProps, 'sensor'> & { sensors: readonly SensorView[] };

/** The live ones first; strays that fell silent long ago do not stand between them. */
function Cards({ sensors, ...card }: CardsProps): JSX.Element {
  const { shown, folded } = probeOrder(sensors);
  const cards = (list: readonly SensorView[]): JSX.Element => (
    <ul class="pg-cards">
      {list.map((sensor) => (
        <ProbeCard key={sensor.id} sensor={sensor} {...card} />
      ))}
    </ul>
  );
  return (
    <>
      {cards(shown)}
      {folded.length === 0 ? null : (
        <details class="pr-folded">
          <summary>{counted(folded.length, 'probe')} not heard for a long time</summary>
          {cards(folded)}
        </details>
      )}
    </>
  );
}

export function ProbesView(): JSX.Element {
  const { answer: sensors, reload: reloadSensors } = useLiveSensors(SENSORS_EVERY_MS);
  const { plan, reload: reloadPlan } = usePlan();
  const [isWarming, setWarming] = useState(false);
  const detail = plan.kind === 'ready' ? plan.detail : null;
  const timeZone = detail?.cookout.timeZone ?? Intl.DateTimeFormat().resolvedOptions().timeZone;
  const reload = async (): Promise<void> => {
    await Promise.all([reloadPlan(), reloadSensors()]);
  };
  const warm = (): void => {
    setWarming(true);
    scrollTo(0, 0);
  };
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
        {detail === null || sensors?.ok !== true || sensors.value.length === 0 ? null : isWarming ? (
          <WarmPanel
            sensors={sensors.value}
            detail={detail}
            reload={reload}
            onClose={() => setWarming(false)}
          />
        ) : (
          <button type="button" class="pr-which" onClick={warm}>
            Which one is it? Warm it in the hand
          </button>
        )}
        {sensors?.ok === true ? (
          <Cards sensors={sensors.value} detail={detail} timeZone={timeZone} reload={reload} onWarm={warm} />
        ) : null}
        <WhereItListens />
        <FoundLink />
      </main>
    </div>
  );
}
