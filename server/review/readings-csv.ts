import type { ProbeStanding } from '../contract/probe.ts';
import { reasonNames, type Quality } from '../contract/reading.ts';
import { csvLine, type Cell } from './csv.ts';

export type CsvReading = {
  atMs: number;
  source: 'probe' | 'spot-check';
  sensorId: string;
  item: string;
  tempC: number;
  quality: Quality | null;
  /** What else was kept of a probe's reading; null for a check by hand. */
  log: ReadingLog | null;
};
export type ReadingLog = {
  /** As the probe sent it, degC. */
  rawC: number;
  /** temp = gain * raw + offsetC; null = not corrected. */
  correction: { gain: number; offsetC: number } | null;
  /** REASON bits. */
  reasons: number;
  /** How far the probe might be believed when it read this: `never` = it had never been checked. */
  standing: ProbeStanding;
  receivedMs: number;
};

const HEADER: readonly Cell[] = [
  'time_utc',
  'time_local',
  'time_zone',
  'source',
  'sensor',
  'item',
  'temp_c',
  'quality',
  'raw_c',
  'correction_gain',
  'correction_offset_c',
  'reasons',
  'probe_check',
  'received_utc',
];

export function formatterFor(timeZone: string): Intl.DateTimeFormat {
  return new Intl.DateTimeFormat('en-GB', {
    timeZone,
    year: 'numeric',
    month: '2-digit',
    day: '2-digit',
    hour: '2-digit',
    minute: '2-digit',
    second: '2-digit',
    hourCycle: 'h23',
    timeZoneName: 'longOffset',
  });
}

/** Wall time in a zone, to the second, with its offset: the autumn hour that comes twice stays two hours. */
export function localTime(atMs: number, formatter: Intl.DateTimeFormat): string {
  const parts = new Map(formatter.formatToParts(atMs).map(({ type, value }) => [type, value]));
  const of = (type: Intl.DateTimeFormatPartTypes): string => parts.get(type) ?? '';
  const offset = of('timeZoneName').replace('GMT', '') || '+00:00';
  return `${of('year')}-${of('month')}-${of('day')}T${of('hour')}:${of('minute')}:${of('second')}${offset}`;
}

/** The logged temperatures, a header and one line each, in the order given. */
export function* readingsCsv(readings: Iterable<CsvReading>, timeZone: string): Generator<string> {
  yield csvLine(HEADER);
  const formatter = formatterFor(timeZone);
  for (const r of readings) {
    yield csvLine([
      new Date(r.atMs).toISOString(),
      localTime(r.atMs, formatter),
      timeZone,
      r.source,
      r.sensorId,
      r.item,
      Math.round(r.tempC * 100) / 100,
      r.quality,
      ...logCells(r.log),
    ]);
  }
}

function logCells(log: ReadingLog | null): Cell[] {
  if (log === null) return [null, null, null, null, null, null];
  return [
    Math.round(log.rawC * 100) / 100,
    log.correction?.gain ?? null,
    log.correction?.offsetC ?? null,
    reasonNames(log.reasons).join(' '),
    log.standing,
    new Date(log.receivedMs).toISOString(),
  ];
}
