export const MINUTE_MS = 60_000;

/** Minutes from one instant to another; negative when it is past. */
export function minutesBetween(fromMs: number, toMs: number): number {
  return (toMs - fromMs) / MINUTE_MS;
}

/** A span in words: "40 s", "4 min", "2 h", "2 h 10 min"; rounded down, a dash for what is not known. */
export function spanText(spanMs: number | null): string {
  if (spanMs === null || !Number.isFinite(spanMs)) return '–';
  const whole = Math.max(0, spanMs);
  if (whole < MINUTE_MS) return `${Math.floor(whole / 1000)} s`;
  const minutes = Math.floor(whole / MINUTE_MS);
  if (minutes < 120) return `${minutes} min`;
  const rest = minutes % 60;
  return rest === 0 ? `${Math.floor(minutes / 60)} h` : `${Math.floor(minutes / 60)} h ${rest} min`;
}

/** The same, to the nearest second below a minute, else to the nearest minute: for what was worked out, not counted. */
export function nearestSpanText(spanMs: number): string {
  const stepMs = Math.round(spanMs / 1000) * 1000 < MINUTE_MS ? 1000 : MINUTE_MS;
  return spanText(Math.round(spanMs / stepMs) * stepMs);
}

/** How old something is: "3 s ago". */
export function agoText(ageMs: number | null): string {
  const span = spanText(ageMs);
  return span === '–' ? span : `${span} ago`;
}
