import type { CookoutRecord, JournalEntry, RecordTrace } from '../contract/api.ts';
import type { Place } from '../contract/cookout.ts';
import type { Reading } from '../contract/reading.ts';
import type {
  CookoutState,
  LoggedReading,
  OutageLog,
  ProbeBook,
  ReadingArchive,
  ReadingStore,
} from '../ports.ts';
import { readingsCsv, type CsvReading, type ReadingLog } from '../review/readings-csv.ts';
import { recordTrace, type TraceQuestion } from '../review/trace.ts';
import { silentAfterMs, typicalIntervalMs } from '../safety/silence.ts';
import { judgeBatches } from './judge-batch.ts';
import { judgePlaces } from './judge-place.ts';
import { ProbeTrust } from './probe-trust.ts';
import { setScene, type BatchScene, type Scene } from './scene.ts';
import { firstAtOrAfter, readingsOf, type SubjectReadings } from './tracks.ts';

type Span = { fromMs: number; toMs: number };
/** A trace and the readings behind it, one part a sensor. */
type Source = TraceQuestion & { parts: SubjectReadings[] };
type Setting = { scene: Scene; trust: ProbeTrust };
type TrackOf = (sensorId: string) => readonly Reading[];

function spanOf(state: CookoutState, nowMs: number): Span {
  const { createdMs, endedMs } = state.cookout;
  const firstStepMs = state.steps[0]?.atMs ?? createdMs;
  return { fromMs: Math.min(createdMs, firstStepMs), toMs: endedMs ?? nowMs };
}

function nameOf({ dish, batch }: BatchScene): string {
  return `${dish.name}, ${batch.label}`;
}

/** Asks once for each key. */
function remembered<T>(ask: (key: string) => T): (key: string) => T {
  const answers = new Map<string, T>();
  return (key) => {
    const answer = answers.get(key) ?? ask(key);
    answers.set(key, answer);
    return answer;
  };
}

function settingOf(state: CookoutState, span: Span, { trackOf, probes }: Behind): Setting {
  const trust = new ProbeTrust(probes);
  const believed = remembered((sensorId) => trust.doubted(sensorId, trackOf(sensorId)));
  // a channel that said that nothing is plugged in left a gap, and that is what the record tells
  const heard = { trackOf: believed, unpluggedSinceMs: () => null };
  return { scene: setScene(state, { nowMs: span.toMs, fromMs: span.fromMs }, heard), trust };
}
type Behind = { trackOf: TrackOf; probes: Pick<ProbeBook, 'history'> };

function batchSources({ scene, trust }: Setting): Source[] {
  return judgeBatches(scene).flatMap((judged) => {
    const { batch, dish, story, readings } = judged.scene;
    const core = judged.scene.span;
    const seats = scene.state.seats.filter((s) => s.subjectKind === 'batch' && s.subjectId === batch.id);
    if (!core || seats.length === 0) return [];
    // before it went on nothing was to be watched, so no reading there is no gap
    const span = { ...core, fromMs: story.firstOnMs ?? story.reheatingMs ?? core.fromMs };
    const subject = { kind: 'batch', id: batch.id } as const;
    const sensorIds = [...new Set(seats.map((s) => s.sensorId))];
    return [
      {
        subject,
        name: nameOf(judged.scene),
        kind: 'cook' as const,
        sensorId: sensorIds.join(' + '),
        probes: sensorIds.map((sensorId) => trust.overSpan(sensorId, span)),
        span,
        parts: readingsOf(subject, core, scene.state.seats, scene.trackOf),
        readings,
        silentAfterMs: judged.silentMs,
        limit: judged.limitView,
        targetC: dish.targetC,
        outsideMs: null,
        core: judged.verdict === null ? null : { state: judged.verdict.state, atMs: judged.verdict.metAtMs },
      },
    ];
  });
}

const TRACE_KIND: Record<Place['kind'], RecordTrace['kind']> = {
  cooler: 'cold',
  pot: 'hot',
  zone: 'zone',
  bench: 'bench',
};

function placeSources({ scene, trust }: Setting, span: Span): Source[] {
  const judged = judgePlaces(scene);
  return scene.state.places.flatMap((place) => {
    const verdict = judged.find((j) => j.place.id === place.id);
    const parts = readingsOf({ kind: 'place', id: place.id }, span, scene.state.seats, scene.trackOf);
    return parts.map(({ sensorId, readings }) => {
      const isJudged = verdict?.worst.sensorId === sensorId;
      return {
        subject: { kind: 'place', id: place.id } as const,
        name: place.name,
        kind: TRACE_KIND[place.kind],
        sensorId,
        probes: [trust.overSpan(sensorId, span)],
        span,
        parts: [{ sensorId, readings }],
        readings,
        silentAfterMs: silentAfterMs(typicalIntervalMs(readings)),
        limit: verdict?.limitView ?? null,
        targetC: null,
        outsideMs: isJudged && verdict.isHolding ? verdict.worst.verdict.totalOutsideMs : null,
        core: null,
      };
    });
  });
}

type RecordQuestion = {
  nowMs: number;
  readings: Pick<ReadingStore, 'window'>;
  journal: JournalEntry[];
  probes: Pick<ProbeBook, 'history'>;
  outages: Pick<OutageLog, 'between'>;
};

/** The record of a cookout, worked out from what is stored and nothing else. */
export function buildRecord(
  state: CookoutState,
  { nowMs, readings, journal, probes, outages }: RecordQuestion,
): CookoutRecord {
  const span = spanOf(state, nowMs);
  const trackOf = (sensorId: string): Reading[] => readings.window(sensorId, span.fromMs, span.toMs);
  const setting = settingOf(state, span, { trackOf, probes });
  const names = new Map(setting.scene.batches.map((b) => [b.batch.id, nameOf(b)]));
  const named = <T extends { batchId: string }>(entry: T): T & { name: string } => ({
    ...entry,
    name: names.get(entry.batchId) ?? '',
  });
  return {
    cookout: state.cookout,
    asOfMs: nowMs,
    ...span,
    traces: [...batchSources(setting), ...placeSources(setting, span)].map(recordTrace),
    steps: state.steps.map(named),
    spotChecks: state.spotChecks.map(named),
    journal,
    outages: outages.between(span.fromMs, span.toMs),
  };
}

type CsvQuestion = {
  nowMs: number;
  readings: Pick<ReadingArchive, 'logged'>;
  probes: Pick<ProbeBook, 'history'>;
};

/** Every logged temperature of a cookout as CSV lines: batches, then places, then checks by hand. */
export function recordCsv(state: CookoutState, { nowMs, readings, probes }: CsvQuestion): Iterable<string> {
  const span = spanOf(state, nowMs);
  const trackOf = remembered((sensorId) => readings.logged(sensorId, span.fromMs, span.toMs));
  const setting = settingOf(state, span, { trackOf, probes });
  const names = new Map(setting.scene.batches.map((b) => [b.batch.id, nameOf(b)]));
  const rows: CsvReading[] = [];
  for (const { name, parts } of [...batchSources(setting), ...placeSources(setting, span)]) {
    for (const { sensorId, readings: part } of parts) {
      const logOf = logger(sensorId, trackOf(sensorId), setting.trust);
      for (const { atMs, tempC, quality } of part)
        rows.push({ atMs, source: 'probe', sensorId, item: name, tempC, quality, log: logOf(atMs) });
    }
  }
  for (const { atMs, tempC, batchId } of state.spotChecks) {
    const item = names.get(batchId) ?? '';
    rows.push({ atMs, source: 'spot-check', sensorId: '', item, tempC, quality: null, log: null });
  }
  return readingsCsv(rows, state.cookout.timeZone);
}

/** What was kept of the reading of a moment. */
function logger(
  sensorId: string,
  track: readonly LoggedReading[],
  trust: ProbeTrust,
): (atMs: number) => ReadingLog | null {
  return (atMs) => {
    const logged = track[firstAtOrAfter(track, atMs)];
    if (logged?.atMs !== atMs) return null;
    const { rawC, reasons, receivedMs } = logged;
    const correction = trust.correctionAt(sensorId, atMs);
    return { rawC, reasons, receivedMs, correction, standing: trust.standingAt(sensorId, atMs) };
  };
}
