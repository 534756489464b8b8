import type { JSX } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import type { CookoutDetail, Problem } from '../../../server/contract/api.ts';
import type { SensorView } from '../../../server/contract/probe.ts';
import { problemText } from '../../api-client.ts';
import { SelectField } from '../../form/fields.tsx';
import { degText, signedText } from '../../format/temperature.ts';
import { Glyph } from '../../glyph.tsx';
import { probeName, probeNews } from '../../probe-words.ts';
import { usePress } from '../../use-press.ts';
import { counted } from '../../words.ts';
import { movePatches, moveProbe, seatKey, seatWords, seatsOf } from './seat-probe.ts';
import { startsWith, warmest } from './warmest.ts';
import type { HandReading, HandRise, Warmest } from './warmest.ts';

export type WarmProps = {
  sensors: readonly SensorView[];
  detail: CookoutDetail;
  reload: () => Promise<void>;
  onClose: () => void;
};

function handReading(sensor: SensorView): HandReading {
  const news = probeNews(sensor);
  return { sensorId: sensor.id, tempC: news.kind === 'live' ? news.tempC : null };
}

function riseText({ riseC, tempC, isFire }: HandRise): string {
  if (tempC === null) return 'not live';
  if (isFire) return 'in the fire';
  return riseC === null ? 'new' : signedText(riseC);
}

type LineProps = { sensor: SensorView; rise: HandRise | undefined; isWarmest: boolean };

function Line({ sensor, rise, isWarmest }: LineProps): JSX.Element {
  return (
    <li class={isWarmest ? 'pr-hand pr-rising' : 'pr-hand'}>
      <span class="pr-who">
        <b>{probeName(sensor)}</b> <small>{sensor.assignedTo?.name ?? 'not assigned'}</small>
      </span>
      <span class="pr-temp">{rise?.tempC == null ? '?' : degText(rise.tempC)}</span>
      <span class={rise?.riseC == null || rise.isFire ? 'pr-none' : 'pr-rise'}>
        {rise === undefined ? '' : riseText(rise)}
      </span>
      {isWarmest ? (
        <span class="pr-this">
          <Glyph name="off" /> This one rises
        </span>
      ) : null}
    </li>
  );
}

type HandsProps = { sensors: readonly SensorView[]; warmest: Warmest };

/** Only what is live can be told by its rise. */
function Hands({ sensors, warmest: { sensorId, rises } }: HandsProps): JSX.Element {
  const live = sensors.filter((sensor) => probeNews(sensor).kind === 'live');
  return (
    <>
      <ul class="pr-hands">
        {live.map((sensor) => (
          <Line
            key={sensor.id}
            sensor={sensor}
            rise={rises.find((rise) => rise.sensorId === sensor.id)}
            isWarmest={sensor.id === sensorId}
          />
        ))}
      </ul>
      {live.length === sensors.length ? null : (
        <p>{counted(sensors.length - live.length, 'probe')} not live: nobody can tell whether they rise.</p>
      )}
    </>
  );
}

type AssignProps = WarmProps & {
  sensor: SensorView;
  to: string;
  onMoved: (words: string) => void;
};

function Assign({ sensor, to, detail, reload, onMoved }: AssignProps): JSX.Element {
  const [problem, setProblem] = useState<Problem | null>(null);
  const seat = seatWords(detail, to);
  const from = seatKey(sensor.assignedTo);
  const { isBusy, press } = usePress(async () => {
    const failed = await moveProbe(movePatches(detail, sensor.id, { from, to }));
    setProblem(failed);
    await reload();
    if (failed === null) onMoved(`${probeName(sensor)} sits in ${seat} now.`);
  });
  if (from === to)
    return (
      <p class="pr-said">
        {probeName(sensor)} sits in {seat} already.
      </p>
    );
  const words =
    sensor.assignedTo === null
      ? `Put ${probeName(sensor)} in ${seat}`
      : `Move ${probeName(sensor)} from ${sensor.assignedTo.name} to ${seat}`;
  return (
    <>
      <div role="alert">{problem === null ? null : <p class="pg-trouble">{problemText(problem)}</p>}</div>
      <button type="button" class="pg-main pr-assign" aria-disabled={isBusy} onClick={press}>
        {words}
      </button>
    </>
  );
}

/** Finds out which probe a person holds: the values at the start are kept, and the one that rises is marked. */
export function WarmPanel(props: WarmProps): JSX.Element {
  const { sensors, detail, onClose } = props;
  const [to, setTo] = useState('');
  const [said, setSaid] = useState('');
  const before = useRef<ReadonlyMap<string, number>>(new Map());
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => heading.current?.focus(), []);
  const now = sensors.map(handReading);
  before.current = startsWith(before.current, now);
  const { sensorId, rises } = warmest(before.current, now);
  const found = sensors.find(({ id }) => id === sensorId);
  const startAgain = (words: string): void => {
    before.current = new Map();
    setSaid(words);
  };
  return (
    <section class="pr-warm" aria-label="Which one is it?">
      <h2 ref={heading} tabIndex={-1}>
        Which one is it?
      </h2>
      <p>
        Choose where it goes, take its tip in your closed hand and wait. The probe that rises is marked, with
        how far each one rose since you began.
      </p>
      <SelectField
        label="It goes into"
        value={to}
        options={[
          { value: '', words: 'Choose a batch or a place' },
          ...seatsOf(detail).map(({ key, words, probes }) => ({
            value: key,
            words: probes.length === 0 ? `${words}: no probe` : `${words}: has ${probes.join(', ')}`,
          })),
        ]}
        onChoice={(key) => {
          setTo(key);
          setSaid('');
        }}
      />
      <Hands sensors={sensors} warmest={{ sensorId, rises }} />
      <p class="pr-said" role="status">
        {said !== ''
          ? said
          : found === undefined
            ? 'None is clearly ahead yet.'
            : `${probeName(found)} rises.`}
      </p>
      {found === undefined || said !== '' ? null : to === '' ? (
        <p>Choose above where it goes.</p>
      ) : (
        <Assign
          {...props}
          sensor={found}
          to={to}
          onMoved={(words) => {
            setTo('');
            startAgain(words);
          }}
        />
      )}
      <div class="pg-acts">
        <button type="button" onClick={() => startAgain('')}>
          Start again
        </button>
        <button type="button" onClick={onClose}>
          Close
        </button>
      </div>
    </section>
  );
}
