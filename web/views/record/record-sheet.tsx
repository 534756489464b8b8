import type { JSX } from 'preact';
import type { CookoutRecord, RecordTrace } from '../../../server/contract/api.ts';
import { clockText } from '../../format/clock.ts';
import { cookoutDay } from '../../format/cookout-day.ts';
import { dayText } from '../../format/day.ts';
import { RULE_SET_WORDS } from '../../food-words.ts';
import { Glyph } from '../../glyph.tsx';
import { CAUTIONS } from './cautions.ts';
import { AlarmLines, CheckList, CookedTable, StepList, Stories } from './record-lists.tsx';
import { doubtedNames, outageText } from './probe-said.ts';
import { verdictOf, verdictWords } from './story.ts';
import type { Verdict } from './story.ts';
import { TraceChart } from './trace-chart.tsx';

type SheetProps = { record: CookoutRecord };

function Counts({ verdict, record }: { verdict: Verdict; record: CookoutRecord }): JSX.Element {
  const gaps = record.traces.reduce(
    (sum, { gaps: own, points }) => sum + (points.length === 0 ? 1 : own.length),
    0,
  );
  const counts = [
    { count: verdict.limitsWatched, words: 'limits watched' },
    { count: verdict.alarms, words: 'alarms raised' },
    { count: gaps, words: 'gaps in readings' },
    { count: verdict.notProbed.length, words: 'batches not probed' },
  ];
  return (
    <dl class="rec-counts">
      {counts.map(({ count, words }) => (
        <div key={words}>
          <dt>{words}</dt>
          <dd>{count}</dd>
        </div>
      ))}
    </dl>
  );
}

function Said({ verdict, record }: { verdict: Verdict; record: CookoutRecord }): JSX.Element {
  const lines = [
    { lead: 'Outside a limit at some time:', names: verdict.outside },
    { lead: 'No reading shows that the core limit was reached:', names: verdict.notReached },
    { lead: 'Not read all the time, so for those minutes nobody can say:', names: verdict.unread },
    { lead: 'Read with a probe that failed its check:', names: doubtedNames(record.traces, 'failed') },
    { lead: 'Read with a probe that was never checked:', names: doubtedNames(record.traces, 'never') },
    { lead: 'Not probed:', names: verdict.notProbed },
  ];
  return (
    <>
      {lines.map(({ lead, names }) =>
        names.length === 0 ? null : (
          <p key={lead}>
            {lead} {names.join(', ')}.
          </p>
        ),
      )}
      {record.outages.map((outage) => (
        <p key={`${outage.kind} ${String(outage.fromMs)}`}>
          {outageText(outage, record.cookout.timeZone)}
          {outage.detail === '' ? null : <span class="rec-source"> {outage.detail}</span>}
        </p>
      ))}
    </>
  );
}

function Traces({
  title,
  traces,
  record,
}: SheetProps & { title: string; traces: readonly RecordTrace[] }): JSX.Element | null {
  if (traces.length === 0) return null;
  return (
    <section>
      <h3>{title}</h3>
      <div class="rec-traces">
        {traces.map((trace) => (
          <TraceChart
            key={`${trace.subject.id} ${trace.sensorId} ${String(trace.fromMs)}`}
            trace={trace}
            record={record}
          />
        ))}
      </div>
    </section>
  );
}

function Foot({ record }: SheetProps): JSX.Element {
  const { cookout, asOfMs } = record;
  const { name, gist } = RULE_SET_WORDS[cookout.ruleSet];
  return (
    <>
      <section>
        <h3>What this record cannot show</h3>
        <ul class="rec-cautions">
          {CAUTIONS.map((caution) => (
            <li key={caution}>{caution}</li>
          ))}
        </ul>
      </section>
      <p class="rec-foot">
        Temperatures in °C, times in {cookout.timeZone}. Rules: {name}, {gist}. A heavy line marks time
        outside the limit, hatching marks time without readings; nothing is filled in. A wedge is a step, a
        ring a spot check by hand. As of {clockText(asOfMs, cookout.timeZone)},{' '}
        {dayText(asOfMs, cookout.timeZone)}.
      </p>
      <div class="rec-sign">
        <p>Person in charge</p>
        <p>Checked by</p>
        <p>Date</p>
      </div>
    </>
  );
}

/** The days are named where they are not that of the cookout. */
function spanEnds({ cookout, fromMs, toMs }: CookoutRecord): string {
  const day = cookoutDay(cookout);
  const ends = [fromMs, toMs].map((atMs) => {
    const own = dayText(atMs, cookout.timeZone);
    const clock = clockText(atMs, cookout.timeZone);
    return own === day ? clock : `${own} ${clock}`;
  });
  return ends.join(' to ');
}

/** The whole record on one sheet, first what went wrong. */
export function RecordSheet({ record }: SheetProps): JSX.Element {
  const { cookout, traces } = record;
  const isOver = cookout.endedMs !== null;
  const verdict = verdictOf(record);
  const cooked = traces.filter(({ kind }) => kind === 'cook');
  const held = traces.filter(({ kind }) => kind === 'cold' || kind === 'hot');
  const around = traces.filter(({ kind }) => kind === 'zone' || kind === 'bench');
  return (
    <article class="rec-sheet">
      <h2>Temperature record {cookout.isDemo ? <span class="demo-mark">Demo data</span> : null}</h2>
      <p class="rec-sub">
        {cookout.name}, {cookoutDay(cookout)}. Read from {spanEnds(record)}, {cookout.guests} guests
        {isOver ? '' : ', still running'}.
      </p>
      <Counts verdict={verdict} record={record} />
      <section>
        <h3>
          <Glyph
            name={
              verdict.kind === 'none-broken'
                ? 'ok'
                : verdict.kind === 'alarms' || verdict.kind === 'outside'
                  ? 'unsafe'
                  : 'lost'
            }
          />{' '}
          {verdictWords(verdict, isOver)}
        </h3>
        <Stories record={record} />
        <Said verdict={verdict} record={record} />
      </section>
      <section>
        <h3>Cooked</h3>
        <CookedTable record={record} />
      </section>
      <Traces title="Core temperatures" traces={cooked} record={record} />
      <Traces title="Kept cold, kept hot" traces={held} record={record} />
      <Traces title="Fire and bench" traces={around} record={record} />
      <section>
        <h3>Steps</h3>
        <StepList record={record} />
        <CheckList record={record} />
      </section>
      <section>
        <h3>Alarms</h3>
        <AlarmLines record={record} />
      </section>
      <Foot record={record} />
    </article>
  );
}
