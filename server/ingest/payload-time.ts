/** RFC 3339 (2002) section 5.6: full date and time, offset mandatory. */
const RFC3339 = /^(\d{4})-(\d{2})-(\d{2})[Tt ](\d{2}):(\d{2}):(\d{2})(\.\d+)?([Zz]|[+-]\d{2}:\d{2})$/;
const EPOCH_S_FROM = 1e8;
const EPOCH_MS_FROM = 1e11;
const EPOCH_MS_TO = 1e14;
const MINUTE_MS = 60_000;

/**
 * Epoch ms of a time in a payload: epoch seconds (1e8 to 1e11), epoch milliseconds (1e11 to 1e14) or RFC 3339 text
 * with an offset; null when it is none of these. Seconds and milliseconds cannot be confused between 1973 and 5138.
 */
export function payloadTimeMs(time: unknown): number | null {
  if (typeof time === 'string') return rfc3339Ms(time.trim());
  if (typeof time !== 'number') return null;
  if (time >= EPOCH_S_FROM && time < EPOCH_MS_FROM) return Math.round(time * 1000);
  if (time >= EPOCH_MS_FROM && time < EPOCH_MS_TO) return Math.round(time);
  return null;
}

function rfc3339Ms(text: string): number | null {
  const match = RFC3339.exec(text);
  if (!match) return null;
  const [year = 0, month = 0, day = 0, hour = 0, minute = 0, second = 0] = match.slice(1, 7).map(Number);
  if (hour > 23 || minute > 59 || second > 60) return null;
  const date = new Date(0);
  // not Date.UTC, which takes the years 0 to 99 for those of the twentieth century
  date.setUTCFullYear(year, month - 1, day);
  if (date.getUTCMonth() !== month - 1 || date.getUTCDate() !== day) return null;
  const offset = offsetMs(match[8] ?? 'Z');
  if (offset === null) return null;
  const fractionMs = Math.round(Number(`0${match[7] ?? '.0'}`) * 1000);
  return date.setUTCHours(hour, minute, second) + fractionMs - offset;
}

function offsetMs(offset: string): number | null {
  if (offset.toUpperCase() === 'Z') return 0;
  const sign = offset.startsWith('-') ? -1 : 1;
  const hours = Number(offset.slice(1, 3));
  const minutes = Number(offset.slice(4, 6));
  return hours > 23 || minutes > 59 ? null : sign * (hours * 60 + minutes) * MINUTE_MS;
}
