import { isTimeZone } from '../form/zoned-time.ts';

/** The day in words, "Saturday 19 September 2026", in the zone of the cookout. */
export function dayText(atMs: number, timeZone: string): string {
  if (!Number.isFinite(atMs)) return '–';
  const zone = isTimeZone(timeZone) ? { timeZone } : {};
  const format = new Intl.DateTimeFormat('en-GB', {
    weekday: 'long',
    day: 'numeric',
    month: 'long',
    year: 'numeric',
    ...zone,
  });
  return format.format(atMs).replace(',', '');
}

/** The day in few letters, "12 Sep", for lists of what happened within weeks. */
export function shortDayText(atMs: number, timeZone: string): string {
  if (!Number.isFinite(atMs)) return '–';
  const zone = isTimeZone(timeZone) ? { timeZone } : {};
  return new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'short', ...zone }).format(atMs);
}
