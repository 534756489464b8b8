import type { Quality } from '../contract/reading.ts';
import { csvLine, type Cell } from './csv.ts';

export type CsvReading = {
  atMs: number;
  source: 'probe' | 'spot-check';
  sensorId: string;
  item: string;
  tempC: number;
  quality: Quality | null;
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
    ]);
  }
}
