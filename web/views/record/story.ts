import type { CookoutRecord, JournalEntry, RecordTrace } from '../../../server/contract/api.ts';
import { doubtedNames } from './probe-said.ts';

/** One alarm from its first line to its last, as the journal tells it. */
export type AlarmStory = {
  alarmId: string;
  kind: string;
  subjectName: string;
  raisedMs: number;
  valueC: number | null;
  limitC: number | null;
  acknowledged: readonly { atMs: number; note: string }[];
  /** When it first was over after it was last raised, as the journal says; null while it is not. */
  returnedMs: number | null;
  /** When a person ended the watching after it was last raised, without anybody measuring that it was over. */
  withdrawnMs: number | null;
};

/** A probe that fell silent breaks no limit: nobody knows whether the food did. */
export function isAboutLimit(kind: string): boolean {
  return kind !== 'probe-silent' && kind !== 'system';
}

function storyOf(entries: readonly JournalEntry[]): AlarmStory | null {
  const first = entries[0];
  if (first === undefined) return null;
  const raisedLast = entries.findLastIndex(({ event }) => event === 'raised' || event === 'raised-again');
  const after = entries.slice(raisedLast + 1);
  const back = after.find(({ event }) => event === 'returned' || event === 'cleared');
  const withdrawn = after.find(({ event }) => event === 'withdrawn');
  return {
    alarmId: first.alarmId,
    kind: first.kind,
    subjectName: first.subjectName,
    raisedMs: first.atMs,
    valueC: first.valueC,
    limitC: isAboutLimit(first.kind) ? first.limitC : null,
    acknowledged: entries
      .filter(({ event }) => event === 'acknowledged')
      .map(({ atMs, note }) => ({ atMs, note: note.trim() })),
    returnedMs: back?.atMs ?? null,
    withdrawnMs: withdrawn?.atMs ?? null,
  };
}

/** The journal told alarm by alarm, the earliest first. */
export function alarmStories(journal: readonly JournalEntry[]): AlarmStory[] {
  const byAlarm = new Map<string, JournalEntry[]>();
  for (const entry of [...journal].sort((a, b) => a.atMs - b.atMs))
    byAlarm.set(entry.alarmId, [...(byAlarm.get(entry.alarmId) ?? []), entry]);
  return [...byAlarm.values()].map(storyOf).filter((story) => story !== null);
}

const KIND_WORDS: Readonly<Record<string, string>> = {
  'cold-over': 'Warmer than its cold limit',
  'hot-under': 'Cooler than its hot limit',
  'probe-silent': 'No readings',
  'core-short': 'Core limit was not reached',
  system: 'The watch itself failed',
};
export function alarmWords(kind: string): string {
  return KIND_WORDS[kind] ?? kind;
}

/** How an alarm ended, in the words of what it was about; `at` is the clock time, null when it did not end. */
export function endWords(kind: string, at: string | null): string {
  switch (kind) {
    case 'cold-over':
    case 'hot-under':
      return at === null ? 'Not back within the limit in this record.' : `Back within the limit at ${at}.`;
    case 'probe-silent':
      return at === null ? 'No readings again in this record.' : `Readings again at ${at}.`;
    case 'core-short':
      return at === null ? 'Nothing later in this record shows that it was reached.' : `Ended at ${at}.`;
    default:
      return at === null ? 'Not over in this record.' : `Ended at ${at}.`;
  }
}

/** How it ended, in one line. Nothing is said to be over that nobody measured. */
export function storyEnd(
  { kind, returnedMs, withdrawnMs }: Pick<AlarmStory, 'kind' | 'returnedMs' | 'withdrawnMs'>,
  clockOf: (atMs: number) => string,
): string {
  if (returnedMs !== null) return endWords(kind, clockOf(returnedMs));
  if (withdrawnMs === null) return endWords(kind, null);
  return `Watching ended at ${clockOf(withdrawnMs)}. Nobody measured that it was over.`;
}

function backWords(kind: string): string {
  switch (kind) {
    case 'cold-over':
    case 'hot-under':
      return 'Back within the limit';
    case 'probe-silent':
      return 'Readings again';
    default:
      return 'Ended';
  }
}

/** A line of the journal, in the words of what its alarm was about. */
export function eventWords({ event, kind }: Pick<JournalEntry, 'event' | 'kind'>): string {
  switch (event) {
    case 'raised':
      return 'Raised';
    case 'acknowledged':
      return 'Seen';
    case 'returned':
      return backWords(kind);
    case 'cleared':
      return 'Ended';
    case 'raised-again':
      return 'Raised again';
    case 'withdrawn':
      return 'Watching ended';
  }
}

/** How long a trace went without readings, ms; all of its span when there was never one. */
export function unreadMs({ points, gaps, fromMs, toMs }: RecordTrace): number {
  if (points.length === 0) return toMs - fromMs;
  return gaps.reduce((sum, [from, to]) => sum + (to - from), 0);
}

export type Verdict = {
  /** `none-broken` is said only when every watched limit was read all the time and no alarm was raised. */
  kind: 'none-broken' | 'alarms' | 'outside' | 'not-reached' | 'unread' | 'doubted' | 'not-watched';
  limitsWatched: number;
  alarms: number;
  /** Names that spent time outside their limit. */
  outside: readonly string[];
  /** Batches off the fire of which no reading shows that the core limit was reached. */
  notReached: readonly string[];
  /** Names for which some time is not accounted for. */
  unread: readonly string[];
  /** Names with a limit that were read with a probe that failed its check: never a pass. */
  failedProbe: readonly string[];
  /** Batches that were cooked or reheated without a temperature trace. */
  notProbed: readonly string[];
};

/** A core limit has no time outside: reaching it is judged by the watch, which raises an alarm when it was not. */
function isKept({ limit }: RecordTrace): boolean {
  return limit !== null && limit.kind !== 'core';
}

/** Written so that a time outside that is null or no number counts as not known. */
function isUnread(trace: RecordTrace): boolean {
  const isOutsideKnown = trace.outsideMs !== null && trace.outsideMs >= 0;
  return !(unreadMs(trace) === 0) || (isKept(trace) && !isOutsideKnown);
}

function notProbed({ steps, traces, spotChecks }: CookoutRecord): string[] {
  const traced = new Set(traces.filter(({ kind }) => kind === 'cook').map(({ subject }) => subject.id));
  const cooked = steps.filter(({ step }) => step === 'on' || step === 'reheating');
  const names = new Map(cooked.map(({ batchId, name }) => [batchId, name]));
  for (const { batchId, name } of spotChecks) names.set(batchId, name);
  return [...names].filter(([batchId]) => !traced.has(batchId)).map(([, name]) => name);
}

/** What was thrown away is eaten by nobody; what is still on the fire may yet get there. */
function isNotReached({ subject, limit, core }: RecordTrace, { steps, cookout }: CookoutRecord): boolean {
  if (limit?.kind !== 'core' || core?.state === 'met') return false;
  const own = steps.filter(({ batchId }) => batchId === subject.id).map(({ step }) => step);
  const isOff = cookout.endedMs !== null || own.includes('off') || own.includes('served');
  return isOff && !own.includes('discarded');
}

const namesOf = (traces: readonly RecordTrace[]): string[] => [...new Set(traces.map(({ name }) => name))];

/** What may be said in one line about the whole cookout; unknown is never fine. */
export function verdictOf(record: CookoutRecord): Verdict {
  const limited = record.traces.filter(({ limit }) => limit !== null);
  const outside = namesOf(
    limited.filter((trace) => isKept(trace) && trace.outsideMs !== null && trace.outsideMs > 0),
  );
  const notReached = namesOf(limited.filter((trace) => isNotReached(trace, record)));
  const unread = namesOf(limited.filter(isUnread));
  const failedProbe = doubtedNames(limited, 'failed');
  const alarms = alarmStories(record.journal).length;
  const kind = ((): Verdict['kind'] => {
    if (alarms > 0) return 'alarms';
    if (outside.length > 0) return 'outside';
    if (notReached.length > 0) return 'not-reached';
    if (unread.length > 0) return 'unread';
    if (failedProbe.length > 0) return 'doubted';
    return limited.length === 0 ? 'not-watched' : 'none-broken';
  })();
  return {
    kind,
    limitsWatched: limited.length,
    alarms,
    outside,
    notReached,
    unread,
    failedProbe,
    notProbed: notProbed(record),
  };
}

export function verdictWords({ kind }: Verdict, isOver: boolean): string {
  const soFar = isOver ? '' : ' so far';
  switch (kind) {
    case 'none-broken':
      return `No limit was broken${soFar}`;
    case 'alarms':
      return `What went wrong and what was done${soFar}`;
    case 'outside':
      return `Outside a limit, without an alarm${soFar}`;
    case 'not-reached':
      return `No alarm${soFar}, but not every core limit was reached`;
    case 'unread':
      return `No alarm${soFar}, but not everything was read`;
    case 'doubted':
      return `No alarm${soFar}, but a probe failed its check`;
    case 'not-watched':
      return `No limit was watched${soFar}`;
  }
}
