import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import type { CookoutDetail } from '../../../server/contract/api.ts';
import type { CheckAnswer, ProbeStanding, SensorView } from '../../../server/contract/probe.ts';
import { Glyph } from '../../glyph.tsx';
import type { GlyphName } from '../../glyph.tsx';
import { probeName } from '../../probe-words.ts';
import { doubtOf } from '../../standing-words.ts';
import { CheckForm } from './check-form.tsx';
import { CheckResult } from './check-result.tsx';
import { LabelForm } from './label-form.tsx';
import { NewestValue } from './newest-value.tsx';
import { ProbePast } from './probe-history.tsx';
import { batteryLine, clockLine, correctionLine, standingLine } from './probe-lines.ts';
import { SeatChoice } from './seat-choice.tsx';

const STANDING_GLYPHS: Record<ProbeStanding, GlyphName> = {
  passed: 'ok',
  old: 'clock',
  failed: 'failed',
  never: 'unchecked',
};

type LineProps = { glyph: GlyphName; text: string | null; isStrong?: boolean };

function Line({ glyph, text, isStrong = false }: LineProps): JSX.Element | null {
  if (text === null) return null;
  return (
    <li class={isStrong ? 'pr-strong' : undefined}>
      <Glyph name={glyph} /> {text}
    </li>
  );
}

/** What is known of the probe itself, one line each. */
function Lines({ sensor, timeZone }: { sensor: SensorView; timeZone: string }): JSX.Element {
  const battery = batteryLine(sensor);
  return (
    <ul class="pr-lines">
      <Line
        glyph={STANDING_GLYPHS[sensor.standing]}
        text={standingLine(sensor, timeZone)}
        isStrong={doubtOf(sensor.standing) !== null}
      />
      <Line glyph="check" text={correctionLine(sensor.correction, timeZone)} />
      {battery === null ? null : (
        <Line glyph={battery.isLow ? 'watch' : 'battery'} text={battery.text} isStrong={battery.isLow} />
      )}
      <Line glyph="clock" text={clockLine(sensor)} />
      <Line
        glyph="lost"
        text={sensor.assignedTo === null ? 'Not assigned: nothing is watched with it' : null}
        isStrong
      />
    </ul>
  );
}

type Open =
  { kind: 'none' } | { kind: 'label' } | { kind: 'check' } | { kind: 'result'; answer: CheckAnswer };

export type ProbeCardProps = {
  sensor: SensorView;
  detail: CookoutDetail | null;
  timeZone: string;
  /** Reads the plan and the probes afresh. */
  reload: () => Promise<void>;
  onWarm: () => void;
};

function Below({
  open,
  set,
  ...props
}: ProbeCardProps & { open: Open; set: (open: Open) => void }): JSX.Element {
  const { sensor, detail, timeZone, reload, onWarm } = props;
  const close = (): void => set({ kind: 'none' });
  switch (open.kind) {
    case 'label':
      return (
        <LabelForm
          sensor={sensor}
          onDone={() => {
            close();
            void reload();
          }}
        />
      );
    case 'check':
      return (
        <CheckForm
          sensor={sensor}
          altitudeM={detail?.cookout.altitudeM ?? null}
          timeZone={timeZone}
          onAnswer={(answer) => {
            set({ kind: 'result', answer });
            void reload();
          }}
          onCancel={close}
        />
      );
    case 'result':
      return (
        <CheckResult
          {...{ sensor, detail, timeZone, reload }}
          answer={open.answer}
          onAgain={() => set({ kind: 'check' })}
          onClose={close}
        />
      );
    case 'none':
      return (
        <>
          {detail === null ? null : <SeatChoice sensor={sensor} detail={detail} reload={reload} />}
          <ProbePast sensorId={sensor.id} timeZone={timeZone} />
          <div class="pg-acts">
            <button
              type="button"
              aria-label={`Check it: ${probeName(sensor)}`}
              onClick={() => set({ kind: 'check' })}
            >
              Check it
            </button>
            <button
              type="button"
              aria-label={`Label it: ${sensor.id}`}
              onClick={() => set({ kind: 'label' })}
            >
              Label it
            </button>
            {sensor.assignedTo === null && detail !== null ? (
              <button type="button" onClick={onWarm}>
                Which one is it?
              </button>
            ) : null}
          </div>
        </>
      );
  }
}

/** One probe: what it reads now and how far that may be believed, where it sits, and what can be done with it. */
export function ProbeCard(props: ProbeCardProps): JSX.Element {
  const { sensor, timeZone } = props;
  const [open, setOpen] = useState<Open>({ kind: 'none' });
  const hasOwnLabel = sensor.label !== '' && sensor.label !== sensor.id;
  return (
    <li class="pg-card">
      <h2 class="pg-name">
        {hasOwnLabel ? sensor.label : sensor.id} {hasOwnLabel ? <small>{sensor.id}</small> : null}
      </h2>
      {open.kind === 'check' ? null : <NewestValue sensor={sensor} timeZone={timeZone} />}
      <Lines sensor={sensor} timeZone={timeZone} />
      <Below {...props} open={open} set={setOpen} />
    </li>
  );
}
