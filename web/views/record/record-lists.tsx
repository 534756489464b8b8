import type { JSX } from 'preact';
import type { CookoutRecord, JournalEntry } from '../../../server/contract/api.ts';
import { clockText } from '../../format/clock.ts';
import { degText, limitText } from '../../format/temperature.ts';
import { Glyph } from '../../glyph.tsx';
import { HEAT_WORDS, STEP_WORDS } from '../../food-words.ts';
import { cookedLines } from './cooked.ts';
import { alarmStories, alarmWords, eventWords, isAboutLimit, storyEnd } from './story.ts';
import type { AlarmStory } from './story.ts';

type ListProps = { record: CookoutRecord };

function Story({ story, timeZone }: { story: AlarmStory; timeZone: string }): JSX.Element {
  const { kind, subjectName, raisedMs, valueC, limitC, acknowledged } = story;
  const at = (atMs: number): string => clockText(atMs, timeZone);
  const read = valueC === null ? '' : ` Read ${degText(valueC)}.`;
  const limit = limitC === null ? '' : ` Limit ${limitText(limitC)}.`;
  return (
    <section class="rec-story">
      <h4>
        <Glyph name={kind === 'probe-silent' ? 'lost' : 'unsafe'} /> {subjectName}
      </h4>
      <dl>
        <dt>What went wrong</dt>
        <dd>
          {alarmWords(kind)}. Alarm at {at(raisedMs)}.{read}
          {limit}
        </dd>
        <dt>What was done</dt>
        <dd>
          {acknowledged.length === 0
            ? 'Nobody marked it as seen.'
            : acknowledged
                .map(({ atMs, note }) => `Seen ${at(atMs)}${note === '' ? ', no note' : `: ${note}`}`)
                .join('. ')}
        </dd>
        <dt>How it ended</dt>
        <dd>{storyEnd(story, at)}</dd>
      </dl>
    </section>
  );
}

export function Stories({ record }: ListProps): JSX.Element {
  return (
    <>
      {alarmStories(record.journal).map((story) => (
        <Story key={story.alarmId} story={story} timeZone={record.cookout.timeZone} />
      ))}
    </>
  );
}

/** What was cooked: its limit, whether it was reached, and when it was taken off and served. */
export function CookedTable({ record }: ListProps): JSX.Element | null {
  const lines = cookedLines(record);
  if (lines.length === 0) return null;
  return (
    <div class="rec-wide" tabIndex={0} role="region" aria-label="Cooked">
      <table>
        <thead>
          <tr>
            <th scope="col">What</th>
            <th scope="col">Core limit</th>
            <th scope="col">As measured</th>
            <th scope="col" class="rec-n">
              Highest
            </th>
            <th scope="col">Taken off</th>
            <th scope="col">Served</th>
          </tr>
        </thead>
        <tbody>
          {lines.map(({ batchId, name, limit, reached, highest, off, served }) => (
            <tr key={batchId}>
              <td>{name}</td>
              <td>{limit}</td>
              <td>{reached}</td>
              <td class="rec-n">{highest}</td>
              <td>{off}</td>
              <td>{served}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

export function StepList({ record }: ListProps): JSX.Element {
  const { timeZone } = record.cookout;
  if (record.steps.length === 0) return <p>No step was recorded.</p>;
  return (
    <div class="rec-wide" tabIndex={0} role="region" aria-label="Steps">
      <table>
        <thead>
          <tr>
            <th scope="col">Time</th>
            <th scope="col">What</th>
            <th scope="col">Step</th>
          </tr>
        </thead>
        <tbody>
          {[...record.steps]
            .sort((a, b) => a.atMs - b.atMs)
            .map(({ id, atMs, name, step, zone }) => (
              <tr key={id}>
                <td>{clockText(atMs, timeZone)}</td>
                <td>{name}</td>
                <td>
                  {STEP_WORDS[step]}
                  {zone === null ? '' : `, ${HEAT_WORDS[zone].toLowerCase()}`}
                </td>
              </tr>
            ))}
        </tbody>
      </table>
    </div>
  );
}

export function CheckList({ record }: ListProps): JSX.Element | null {
  const { timeZone } = record.cookout;
  if (record.spotChecks.length === 0) return null;
  return (
    <>
      <h3>Spot checks by hand</h3>
      <div class="rec-wide" tabIndex={0} role="region" aria-label="Spot checks by hand">
        <table>
          <thead>
            <tr>
              <th scope="col">Time</th>
              <th scope="col">What</th>
              <th scope="col">Where in it</th>
              <th scope="col" class="rec-n">
                Core, °C
              </th>
            </tr>
          </thead>
          <tbody>
            {record.spotChecks.map(({ id, atMs, name, where, tempC }) => (
              <tr key={id}>
                <td>{clockText(atMs, timeZone)}</td>
                <td>{name}</td>
                <td>{where === '' ? 'not said' : where}</td>
                <td class="rec-n">{degText(tempC)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </>
  );
}

function limitCell({ kind, limitC }: JournalEntry): string {
  if (!isAboutLimit(kind)) return '';
  return limitC === null ? '–' : limitText(limitC);
}

export function AlarmLines({ record }: ListProps): JSX.Element {
  const { timeZone } = record.cookout;
  if (record.journal.length === 0) return <p>No alarm was raised.</p>;
  return (
    <div class="rec-wide" tabIndex={0} role="region" aria-label="Alarms">
      <table>
        <thead>
          <tr>
            <th scope="col">Time</th>
            <th scope="col">What</th>
            <th scope="col">Alarm</th>
            <th scope="col">Event</th>
            <th scope="col" class="rec-n">
              Read
            </th>
            <th scope="col" class="rec-n">
              Limit
            </th>
            <th scope="col">Note</th>
          </tr>
        </thead>
        <tbody>
          {[...record.journal]
            .sort((a, b) => a.atMs - b.atMs)
            .map((entry) => (
              <tr key={`${entry.alarmId} ${String(entry.atMs)} ${entry.event}`}>
                <td>{clockText(entry.atMs, timeZone)}</td>
                <td>{entry.subjectName}</td>
                <td>{alarmWords(entry.kind)}</td>
                <td>{eventWords(entry)}</td>
                <td class="rec-n">{degText(entry.valueC)}</td>
                <td class="rec-n">{limitCell(entry)}</td>
                <td>{entry.note}</td>
              </tr>
            ))}
        </tbody>
      </table>
    </div>
  );
}
