import type { JSX } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import type { CookoutRecord, RecordTrace } from '../../../server/contract/api.ts';
import type { StepKind } from '../../../server/contract/steps.ts';
import { drawRecordChart } from '../../charts/record-chart.ts';
import { STEP_WORDS } from '../../food-words.ts';
import { localTime, zonedTime } from '../../form/zoned-time.ts';
import { mode } from '../../mode.ts';
import { traceProbeText } from './probe-said.ts';
import { gapsText, outsideText, rangeText, traceSentence } from './trace-words.ts';

export type TraceProps = { trace: RecordTrace; record: CookoutRecord };

/** What begins or ends a cook is written first on the chart. */
function rankOf(step: StepKind): number {
  return step === 'turned' || step === 'moved' || step === 'lid-opened' || step === 'lid-closed' ? 0 : 1;
}

/** How far the local clock is ahead of UTC at an instant, ms. */
function offsetAt(atMs: number, timeZone: string): number {
  const asUtc = zonedTime(localTime(atMs, timeZone), 'UTC');
  const wholeMinuteMs = Math.floor(atMs / 60_000) * 60_000;
  return asUtc.ok ? asUtc.atMs - wholeMinuteMs : 0;
}

function useChart({ trace, record }: TraceProps): { current: HTMLCanvasElement | null } {
  const canvas = useRef<HTMLCanvasElement>(null);
  const ground = mode.value;
  useEffect(() => {
    if (canvas.current === null || trace.points.length === 0) return undefined;
    const { timeZone } = record.cookout;
    const isOwn = ({ batchId }: { batchId: string }): boolean =>
      trace.subject.kind === 'batch' && batchId === trace.subject.id;
    return drawRecordChart(canvas.current, {
      trace,
      steps: record.steps
        .filter(isOwn)
        .map(({ atMs, step }) => ({ atMs, words: STEP_WORDS[step], rank: rankOf(step) })),
      checks: record.spotChecks.filter(isOwn),
      timeZone,
      offsetMs: offsetAt(trace.fromMs, timeZone),
    });
  }, [trace, record, ground]);
  return canvas;
}

/** One trace: what it was held to, what it was, where it was not read, and the line itself. */
export function TraceChart(props: TraceProps): JSX.Element {
  const { trace, record } = props;
  const canvas = useChart(props);
  const { timeZone } = record.cookout;
  const outside = outsideText(trace);
  return (
    <figure class="rec-trace">
      <figcaption>
        <h4>{trace.name}</h4>
        <dl>
          <div>
            <dt>Limit</dt>
            <dd>{trace.limit === null ? 'none set' : trace.limit.text}</dd>
          </div>
          <div>
            <dt>Read</dt>
            <dd>{rangeText(trace)}</dd>
          </div>
          {outside === '' || trace.limit === null ? null : (
            <div>
              <dt>Outside</dt>
              <dd>{outside}</dd>
            </div>
          )}
          <div>
            <dt>Unread</dt>
            <dd>{gapsText(trace, timeZone)}</dd>
          </div>
          {trace.probes.map((probe) => (
            <div key={probe.sensorId}>
              <dt>Probe</dt>
              <dd>{traceProbeText(probe, timeZone)}</dd>
            </div>
          ))}
        </dl>
        {trace.limit === null ? null : <p class="rec-source">{trace.limit.source}</p>}
      </figcaption>
      {trace.points.length === 0 ? (
        <p class="rec-unread">Never read by probe {trace.sensorId}. Nobody can say what it was.</p>
      ) : (
        <div class="rec-plot">
          <canvas ref={canvas} role="img" aria-label={traceSentence(trace, timeZone)} />
        </div>
      )}
    </figure>
  );
}
