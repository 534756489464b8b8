const LOCAL = /^(\d{4})-(\d{2})-(\d{2})[Tt ](\d{2}):(\d{2})(?::(\d{2})(\.\d+)?)?$/;
const DAY_MS = 86_400_000;
const FIRST_YEAR = 1970;

const formats = new Map<string, Intl.DateTimeFormat>();

function formatOf(zone: string): Intl.DateTimeFormat {
  const known = formats.get(zone);
  if (known) return known;
  const format = new Intl.DateTimeFormat('en-GB', {
    timeZone: zone,
    hourCycle: 'h23',
    year: 'numeric',
    month: 'numeric',
    day: 'numeric',
    hour: 'numeric',
    minute: 'numeric',
    second: 'numeric',
  });
  formats.set(zone, format);
  return format;
}

/** What the clocks of a zone are ahead of UTC at a moment, ms. */
function aheadMs(zone: string, atMs: number): number {
  const parts = formatOf(zone).formatToParts(atMs);
  const part = (type: Intl.DateTimeFormatPartTypes): number =>
    Number(parts.find((p) => p.type === type)?.value ?? NaN);
  const shown = [part('year'), part('month') - 1, part('day'), part('hour'), part('minute')] as const;
  return Date.UTC(...shown, part('second')) - Math.floor(atMs / 1000) * 1000;
}

/**
 * Epoch ms of a date and time without an offset, such as 2026-10-25T02:30:00, in a zone. In the hour that comes twice
 * when clocks are put back the earlier one is meant.
 *
 * @param zone  IANA name, must be known
 * @returns epoch ms, or null: no such date, not this form, before 1970, or in the hour that clocks put forward leave out
 */
export function localTimeMs(text: string, zone: string): number | null {
  const match = LOCAL.exec(text.trim());
  if (!match) return null;
  const [year = 0, month = 0, day = 0, hour = 0, minute = 0, second = 0] = match
    .slice(1, 7)
    .map((digits: string | undefined) => Number(digits ?? 0));
  const daysInMonth = new Date(Date.UTC(year, month, 0)).getUTCDate();
  const isReal =
    year >= FIRST_YEAR &&
    month >= 1 &&
    month <= 12 &&
    day >= 1 &&
    day <= daysInMonth &&
    hour <= 23 &&
    minute <= 59;
  if (!isReal || second > 59) return null;
  const asIfUtcMs = Date.UTC(year, month - 1, day, hour, minute, second);
  const offsets = [aheadMs(zone, asIfUtcMs - DAY_MS), aheadMs(zone, asIfUtcMs + DAY_MS)];
  const moments = offsets
    .map((ahead) => asIfUtcMs - ahead)
    .filter((atMs) => atMs + aheadMs(zone, atMs) === asIfUtcMs);
  if (moments.length === 0) return null;
  return Math.min(...moments) + Math.round(Number(`0${match[7] ?? '.0'}`) * 1000);
}
