import type { RecordTrace } from '../contract/api.ts';
import type { LimitView } from '../contract/board.ts';
import type { Reading } from '../contract/reading.ts';
import { bucketed, gapsIn, usable } from './intervals.ts';

/** A chart shows no more than this many points of a series. */
const MAX_POINTS = 400;

export type TraceQuestion = {
  subject: RecordTrace['subject'];
  name: string;
  kind: RecordTrace['kind'];
  sensorId: string;
  probes: RecordTrace['probes'];
  /** The span in which it was to be watched, epoch ms. */
  span: { fromMs: number; toMs: number };
  /** Ascending in time, as stored. */
  readings: readonly Reading[];
  /** A longer time without a reading is a gap, ms. */
  silentAfterMs: number;
  limit: LimitView | null;
  targetC: number | null;
  /** Time outside the limit as the safety watch counted it, ms; null where that is not what the limit is about. */
  outsideMs: number | null;
  core: RecordTrace['core'];
};

/** One temperature trace of the record. Gaps are told and never bridged. */
export function recordTrace(q: TraceQuestion): RecordTrace {
  const readings = usable(q.readings).filter((r) => r.atMs >= q.span.fromMs && r.atMs <= q.span.toMs);
  const lowest = readings.reduce((low, r) => Math.min(low, r.tempC), Infinity);
  const highest = readings.reduce((high, r) => Math.max(high, r.tempC), -Infinity);
  return {
    subject: q.subject,
    name: q.name,
    kind: q.kind,
    sensorId: q.sensorId,
    probes: q.probes,
    fromMs: q.span.fromMs,
    toMs: q.span.toMs,
    limit: q.limit,
    targetC: q.targetC,
    points: bucketed(readings, MAX_POINTS),
    gaps: gapsIn(readings, q.span, q.silentAfterMs),
    lowestC: Number.isFinite(lowest) ? lowest : null,
    highestC: Number.isFinite(highest) ? highest : null,
    outsideMs: q.outsideMs,
    core: q.core,
  };
}
