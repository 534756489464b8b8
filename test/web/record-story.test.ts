import { describe, expect, it } from 'vitest';
import { cookedLines, reachedText } from '../../web/views/record/cooked.ts';
import { cookoutDay } from '../../web/format/cookout-day.ts';
import {
  alarmStories,
  endWords,
  eventWords,
  storyEnd,
  verdictOf,
  verdictWords,
} from '../../web/views/record/story.ts';
import { csvPath } from '../../web/views/record/record-paths.ts';
import { gapsText, outsideText, rangeText, traceSentence } from '../../web/views/record/trace-words.ts';
import {
  CORE_LIMIT,
  FIVE_PM_MS,
  LONDON,
  MIN_MS,
  aCookout,
  aRecord,
  aTrace,
  anEntry,
} from '../support/plans.ts';

const wordsOf = (record: Parameters<typeof verdictOf>[0]): string => verdictWords(verdictOf(record), true);
const GAP: [number, number] = [FIVE_PM_MS + 36 * MIN_MS, FIVE_PM_MS + 52 * MIN_MS];

describe('what the record says in one line', () => {
  it('is "No limit was broken" when no alarm was raised and every limit was read all the time', () => {
    expect(wordsOf(aRecord())).toBe('No limit was broken');
  });

  it('says "so far" while the cookout runs', () => {
    expect(verdictWords(verdictOf(aRecord()), false)).toBe('No limit was broken so far');
  });

  it.each([
    ['a gap', aRecord({ traces: [aTrace({ gaps: [GAP] })] }), 'unread'],
    ['a place that was never read', aRecord({ traces: [aTrace({ valuesC: [] })] }), 'unread'],
    ['an alarm', aRecord({ journal: [anEntry()] }), 'alarms'],
    ['time outside without an alarm', aRecord({ traces: [aTrace({ outsideMs: MIN_MS })] }), 'outside'],
    ['time outside that nobody could work out', aRecord({ traces: [aTrace({ outsideMs: null })] }), 'unread'],
    ['time outside that is no number', aRecord({ traces: [aTrace({ outsideMs: Number.NaN })] }), 'unread'],
    ['no limit at all', aRecord({ traces: [aTrace({ limit: null, outsideMs: null })] }), 'not-watched'],
    ['no trace at all', aRecord({ traces: [] }), 'not-watched'],
  ])('is not said after %s', (_what, record, kind) => {
    expect(verdictOf(record).kind).toBe(kind);
    expect(wordsOf(record)).not.toContain('No limit was broken');
  });

  it('is not said when a limit was read with a probe that failed its check', () => {
    const probe = { sensorId: 'bag-trout', standing: 'failed' as const, checks: [], corrections: [] };
    const record = aRecord({ traces: [aTrace({ probes: [probe] })] });
    expect(verdictOf(record)).toMatchObject({ kind: 'doubted', failedProbe: ['Trout bag'] });
    expect(wordsOf(record)).toBe('No alarm, but a probe failed its check');
  });

  it('does not let a core limit without time outside stand in the way', () => {
    const cooked = aTrace({
      kind: 'cook',
      subject: { kind: 'batch', id: 'thighs-1' },
      limit: CORE_LIMIT,
      outsideMs: null,
      core: { state: 'met', atMs: FIVE_PM_MS },
    });
    expect(verdictOf(aRecord({ traces: [cooked] })).kind).toBe('none-broken');
  });

  it.each(['not-met', 'unknown', null] as const)(
    'is not said of food off the fire whose core limit is %s, unless it was thrown away or is still cooking',
    (state) => {
      const cooked = aTrace({
        kind: 'cook',
        subject: { kind: 'batch', id: 'thighs-1' },
        name: 'Chicken thighs, 1st',
        limit: CORE_LIMIT,
        outsideMs: null,
        core: state === null ? null : { state, atMs: null },
      });
      const ended = aRecord({ traces: [cooked] });
      expect(verdictOf(ended)).toMatchObject({ kind: 'not-reached', notReached: ['Chicken thighs, 1st'] });
      expect(wordsOf(ended)).toBe('No alarm, but not every core limit was reached');
      const running = aRecord({ traces: [cooked], cookout: aCookout() });
      expect(verdictOf(running).kind).toBe('none-broken');
      const thrown = { id: 's', batchId: 'thighs-1', atMs: FIVE_PM_MS, zone: null, placeId: null } as const;
      const steps = [{ ...thrown, step: 'discarded' as const, name: 'Chicken thighs, 1st' }];
      expect(verdictOf({ ...ended, steps }).kind).toBe('none-broken');
    },
  );

  it('names the batches that no probe was in', () => {
    const step = {
      id: 's1',
      batchId: 'halloumi-1',
      step: 'on',
      atMs: FIVE_PM_MS,
      zone: null,
      placeId: null,
    } as const;
    const record = aRecord({ steps: [{ ...step, name: 'Halloumi skewers, 1st' }] });
    expect(verdictOf(record).notProbed).toEqual(['Halloumi skewers, 1st']);
  });
});

describe('the story of an alarm', () => {
  const raised = anEntry();
  const seen = anEntry({ event: 'acknowledged', atMs: raised.atMs + 11 * MIN_MS, note: ' Ice added. ' });
  const back = anEntry({ event: 'cleared', atMs: raised.atMs + 22 * MIN_MS });

  it('tells what was read when it was raised, what was done, and when it was over', () => {
    expect(alarmStories([back, seen, raised])).toEqual([
      {
        alarmId: 'trout-over',
        kind: 'cold-over',
        subjectName: 'Trout bag',
        raisedMs: raised.atMs,
        valueC: 8.6,
        limitC: 8,
        acknowledged: [{ atMs: seen.atMs, note: 'Ice added.' }],
        returnedMs: back.atMs,
        withdrawnMs: null,
      },
    ]);
  });

  it('is not over when it was raised again afterwards', () => {
    const again = anEntry({ event: 'raised-again', atMs: back.atMs + MIN_MS });
    expect(alarmStories([raised, back, again])[0]?.returnedMs).toBeNull();
  });

  it('is over when the temperature came back, not when somebody saw it later', () => {
    const returned = anEntry({ event: 'returned', atMs: raised.atMs + 5 * MIN_MS });
    expect(alarmStories([raised, returned, seen, back])[0]?.returnedMs).toBe(returned.atMs);
  });

  it('ends in the words of what it was about, and never says "within the limit" of a silent probe', () => {
    expect(endWords('cold-over', '18:16')).toBe('Back within the limit at 18:16.');
    expect(endWords('probe-silent', '18:16')).toBe('Readings again at 18:16.');
    for (const kind of ['probe-silent', 'core-short', 'system', 'cold-over'])
      expect(endWords(kind, null)).not.toMatch(/again at|limit at|Ended at/);
  });

  it('that a person stopped watching never reads as if it had come back within its limit', () => {
    const withdrawn = anEntry({ event: 'withdrawn', atMs: raised.atMs + 30 * MIN_MS });
    const [story] = alarmStories([raised, seen, withdrawn]);
    expect(story).toMatchObject({ returnedMs: null, withdrawnMs: withdrawn.atMs });
    const said = storyEnd(story!, () => '18:24');
    expect(said).toBe('Watching ended at 18:24. Nobody measured that it was over.');
    expect(eventWords(withdrawn)).toBe('Watching ended');
  });

  it('of a silent probe is told of readings and has no limit', () => {
    const silent = anEntry({ kind: 'probe-silent', limitC: 8 });
    expect(alarmStories([silent])[0]?.limitC).toBeNull();
    expect(eventWords({ kind: 'probe-silent', event: 'returned' })).toBe('Readings again');
    expect(eventWords({ kind: 'cold-over', event: 'returned' })).toBe('Back within the limit');
    for (const event of ['raised', 'returned', 'cleared', 'raised-again', 'withdrawn'] as const)
      expect(eventWords({ kind: 'probe-silent', event })).not.toMatch(/limit|Over/);
  });

  it('keeps two alarms apart, the earlier one first', () => {
    const stew = anEntry({
      alarmId: 'stew-silent',
      kind: 'probe-silent',
      atMs: raised.atMs - MIN_MS,
      subjectName: 'Stew',
    });
    expect(alarmStories([raised, stew, seen]).map(({ alarmId }) => alarmId)).toEqual([
      'stew-silent',
      'trout-over',
    ]);
  });
});

describe('the words beside a chart', () => {
  it('say a gap with its length and its clock times', () => {
    expect(gapsText(aTrace({ gaps: [GAP] }), LONDON)).toBe('16 min: 17:36 to 17:52');
  });

  it('say that nobody can tell, rather than "none", when the time outside is not known', () => {
    expect(outsideText(aTrace({ outsideMs: null }))).toBe('cannot tell');
    expect(outsideText(aTrace({ outsideMs: 0 }))).toBe('none');
  });

  it('do not invent a range when nothing was read', () => {
    expect(rangeText(aTrace({ valuesC: [] }))).toBe('no readings');
  });

  it('give a screen reader the whole chart in one sentence', () => {
    expect(traceSentence(aTrace({ gaps: [GAP], outsideMs: 24 * MIN_MS }), LONDON)).toBe(
      'Trout bag, 17:00 to 17:02, 4.0° to 4.4°. Limit: 8 °C or colder. Outside it: 24 min. Without readings: 16 min: 17:36 to 17:52.',
    );
  });
});

describe('what was cooked', () => {
  const at = (min: number): number => FIVE_PM_MS + min * MIN_MS;
  const step = (kind: 'on' | 'off' | 'served', min: number, batchId = 'thighs-1') => ({
    id: `${batchId}-${kind}`,
    batchId,
    step: kind,
    atMs: at(min),
    zone: null,
    placeId: null,
    name: batchId === 'thighs-1' ? 'Chicken thighs, 1st' : 'Halloumi, 1st',
  });
  const cooked = aTrace({
    kind: 'cook',
    subject: { kind: 'batch', id: 'thighs-1' },
    limit: CORE_LIMIT,
    valuesC: [60, 76.2],
    core: { state: 'met', atMs: at(71) },
  });

  it('is one line a batch: limit, whether it was reached, highest, taken off, served', () => {
    const steps = [step('on', 40), step('off', 72), step('served', 80), step('on', 50, 'halloumi-1')];
    expect(cookedLines(aRecord({ traces: [cooked], steps }))).toEqual([
      {
        batchId: 'thighs-1',
        name: 'Chicken thighs, 1st',
        limit: '70 °C for 2 min',
        reached: 'Limit reached 18:11',
        highest: '76.2°',
        off: '18:12',
        served: '18:20',
      },
      {
        batchId: 'halloumi-1',
        name: 'Halloumi, 1st',
        limit: '–',
        reached: 'Not probed',
        highest: '–',
        off: '–',
        served: '–',
      },
    ]);
  });

  it.each([
    ['not-met', 'Limit not reached in these readings'],
    ['unknown', 'Not known whether the limit was reached'],
  ] as const)('that is %s is never told as reached', (state, words) => {
    expect(reachedText({ limit: CORE_LIMIT, core: { state, atMs: null } }, LONDON)).toBe(words);
    expect(reachedText({ limit: CORE_LIMIT, core: null }, LONDON)).toBe(
      'Not known whether the limit was reached',
    );
  });
});

describe('the day of a cookout', () => {
  it('is that of its first serving on its own clock, also when it was planned the evening before', () => {
    const serves = [23.6, 23.2].map((h) => ({ id: `s${h}`, atMs: Date.UTC(2026, 8, 19, 0, h * 60) }));
    expect(cookoutDay(aCookout({ serves, createdMs: FIVE_PM_MS - 86_400_000 }))).toBe(
      'Sunday 20 September 2026',
    );
    expect(cookoutDay(aCookout({ serves: [] }))).toBe('Saturday 19 September 2026');
  });
});

describe('the link to the readings', () => {
  it('leads to the CSV of this cookout, whatever stands in its id', () => {
    expect(csvPath('supper-1')).toBe('/api/cookouts/supper-1/record.csv');
    expect(csvPath('../a b')).toBe('/api/cookouts/..%2Fa%20b/record.csv');
  });
});
