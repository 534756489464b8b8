/** A day and a clock time as typed: `2026-09-19` and `18:30`. */
export type LocalTime = { date: string; clock: string };
export type ZonedTime = { ok: true; atMs: number } | { ok: false; why: string };

const DAY_MS = 86_400_000;
const DATE = /^(\d{4})-(\d{2})-(\d{2})$/;
const CLOCK = /^(\d{1,2}):(\d{2})(?::\d{2})?$/;

function partsIn(timeZone: string): Intl.DateTimeFormat {
  return new Intl.DateTimeFormat('en-GB', {
    timeZone,
    hourCycle: 'h23',
    year: 'numeric',
    month: '2-digit',
    day: '2-digit',
    hour: '2-digit',
    minute: '2-digit',
  });
}

export function isTimeZone(timeZone: string): boolean {
  try {
    partsIn(timeZone);
    return true;
  } catch {
    // The constructor is the only judge of names, and it answers by throwing.
    return false;
  }
}

function localIn(format: Intl.DateTimeFormat, atMs: number): LocalTime {
  const part: Record<string, string> = {};
  for (const { type, value } of format.formatToParts(atMs)) part[type] = value;
  return {
    date: `${part['year'] ?? ''}-${part['month'] ?? ''}-${part['day'] ?? ''}`,
    clock: `${part['hour'] ?? ''}:${part['minute'] ?? ''}`,
  };
}

/** What the calendar and the clock on the wall say at an instant. */
export function localTime(atMs: number, timeZone: string): LocalTime {
  return localIn(partsIn(timeZone), atMs);
}

function asIfUtc({ date, clock }: LocalTime): number | null {
  const day = DATE.exec(date);
  const time = CLOCK.exec(clock.trim());
  if (day === null || time === null) return null;
  const [year, month, dayOfMonth, hour, minute] = [day[1], day[2], day[3], time[1], time[2]].map(Number);
  if (year === undefined || month === undefined || dayOfMonth === undefined) return null;
  if (hour === undefined || minute === undefined || hour > 23 || minute > 59) return null;
  const atMs = Date.UTC(year, month - 1, dayOfMonth, hour, minute);
  const back = new Date(atMs);
  return back.getUTCMonth() === month - 1 && back.getUTCDate() === dayOfMonth ? atMs : null;
}

/**
 * The instant of a local clock time.
 *
 * Where clocks go back and a time comes twice, the first is meant; where they go forward and it is skipped,
 * there is no answer.
 */
export function zonedTime(local: LocalTime, timeZone: string): ZonedTime {
  if (!isTimeZone(timeZone)) return { ok: false, why: 'This time zone is not known.' };
  const wanted = asIfUtc(local);
  if (wanted === null) return { ok: false, why: 'Give a day and a time like 18:30.' };
  const format = partsIn(timeZone);
  const matches = [wanted - DAY_MS, wanted + DAY_MS]
    .map((nearMs) => wanted - ((asIfUtc(localIn(format, nearMs)) ?? Number.NaN) - nearMs))
    .filter((atMs) => Number.isFinite(atMs) && asIfUtc(localIn(format, atMs)) === wanted);
  const first = Math.min(...matches);
  if (!Number.isFinite(first))
    return { ok: false, why: 'The clocks go forward then: this time does not exist.' };
  return { ok: true, atMs: first };
}
