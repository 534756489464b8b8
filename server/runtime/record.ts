import type { CookoutRecord, JournalEntry, RecordTrace } from '../contract/api.ts';
import type { Place } from '../contract/cookout.ts';
import type { Reading } from '../contract/reading.ts';
import type { CookoutState, ReadingStore } from '../ports.ts';
import { readingsCsv, type CsvReading } from '../review/readings-csv.ts';
import { recordTrace, type TraceQuestion } from '../review/trace.ts';
import { silentAfterMs, typicalIntervalMs } from '../safety/silence.ts';
import { judgeBatches } from './judge-batch.ts';
import { judgePlaces } from './judge-place.ts';
import { setScene, type BatchScene, type Scene } from './scene.ts';
import { readingsOf } from './tracks.ts';

type Span = { fromMs: number; toMs: number };
/** A trace and the readings behind it. */
type Source = TraceQuestion;

function spanOf(state: CookoutState, nowMs: number): Span {
  const { createdMs, endedMs } = state.cookout;
  const firstStepMs = state.steps[0]?.atMs ?? createdMs;
  return { fromMs: Math.min(createdMs, firstStepMs), toMs: endedMs ?? nowMs };
}

function nameOf({ dish, batch }: BatchScene): string {
  return `${dish.name}, ${batch.label}`;
}

function sceneOf(state: CookoutState, span: Span, store: ReadingStore): Scene {
  const tracks = new Map<string, Reading[]>();
  const trackOf = (sensorId: string): Reading[] => {
    const known = tracks.get(sensorId) ?? store.window(sensorId, span.fromMs, span.toMs);
    tracks.set(sensorId, known);
    return known;
  };
  return setScene(state, { nowMs: span.toMs, fromMs: span.fromMs }, trackOf);
}

function batchSources(scene: Scene): Source[] {
  return judgeBatches(scene).flatMap((judged) => {
    const { batch, dish, story, readings } = judged.scene;
    const core = judged.scene.span;
    const seats = scene.state.seats.filter((s) => s.subjectKind === 'batch' && s.subjectId === batch.id);
    if (!core || seats.length === 0) return [];
    // before it went on nothing was to be watched, so no reading there is no gap
    const span = { ...core, fromMs: story.firstOnMs ?? story.reheatingMs ?? core.fromMs };
    return [
      {
        subject: { kind: 'batch', id: batch.id } as const,
        name: nameOf(judged.scene),
        kind: 'cook' as const,
        sensorId: [...new Set(seats.map((s) => s.sensorId))].join(' + '),
        span,
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

function placeSources(scene: Scene, span: Span): Source[] {
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
        span,
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

/** The record of a cookout, worked out from what is stored and nothing else. */
export function buildRecord(
  state: CookoutState,
  { nowMs, readings, journal }: { nowMs: number; readings: ReadingStore; journal: JournalEntry[] },
): CookoutRecord {
  const span = spanOf(state, nowMs);
  const scene = sceneOf(state, span, readings);
  const names = new Map(scene.batches.map((b) => [b.batch.id, nameOf(b)]));
  const named = <T extends { batchId: string }>(entry: T): T & { name: string } => ({
    ...entry,
    name: names.get(entry.batchId) ?? '',
  });
  return {
    cookout: state.cookout,
    asOfMs: nowMs,
    ...span,
    traces: [...batchSources(scene), ...placeSources(scene, span)].map(recordTrace),
    steps: state.steps.map(named),
    spotChecks: state.spotChecks.map(named),
    journal,
  };
}

/** Every logged temperature of a cookout as CSV lines: batches, then places, then checks by hand. */
export function recordCsv(state: CookoutState, nowMs: number, store: ReadingStore): Iterable<string> {
  const span = spanOf(state, nowMs);
  const scene = sceneOf(state, span, store);
  const names = new Map(scene.batches.map((b) => [b.batch.id, nameOf(b)]));
  const rows: CsvReading[] = [];
  for (const { name, sensorId, readings } of [...batchSources(scene), ...placeSources(scene, span)]) {
    for (const { atMs, tempC, quality } of readings)
      rows.push({ atMs, source: 'probe', sensorId, item: name, tempC, quality });
  }
  for (const { atMs, tempC, batchId } of state.spotChecks) {
    rows.push({
      atMs,
      source: 'spot-check',
      sensorId: '',
      item: names.get(batchId) ?? '',
      tempC,
      quality: null,
    });
  }
  return readingsCsv(rows, state.cookout.timeZone);
}
