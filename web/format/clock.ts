const formats = new Map<string, Intl.DateTimeFormat>();

/** Local time of day in 24 h, "18:04". A zone that this browser does not know falls back to the browser's own. */
export function clockText(atMs: number, timeZone: string): string {
  if (!Number.isFinite(atMs)) return '–';
  return clockFormat(timeZone).format(atMs);
}

/** The same with seconds, "18:04:07", for lists in which one minute holds several lines. */
export function clockSecondsText(atMs: number, timeZone: string): string {
  if (!Number.isFinite(atMs)) return '–';
  return `${clockText(atMs, timeZone)}:${String(new Date(atMs).getUTCSeconds()).padStart(2, '0')}`;
}

function clockFormat(timeZone: string): Intl.DateTimeFormat {
  const known = formats.get(timeZone);
  if (known !== undefined) return known;
  const made = makeFormat(timeZone);
  formats.set(timeZone, made);
  return made;
}

function makeFormat(timeZone: string): Intl.DateTimeFormat {
  const shape = { hour: '2-digit', minute: '2-digit', hourCycle: 'h23' } as const;
  try {
    return new Intl.DateTimeFormat('en-GB', { ...shape, timeZone });
  } catch {
    return new Intl.DateTimeFormat('en-GB', shape);
  }
}
