import type { SensorView } from '../server/contract/api.ts';
import { agoText } from './format/duration.ts';
import { degText } from './format/temperature.ts';

/** No sending interval is known here, so the shortest patience of the screen counts (60 s). */
export const FRESH_MS = 60_000;
/** How far a probe's clock may be ahead before its reading stops counting as new. */
const AHEAD_MS = 5_000;

export type ProbeNews =
  | { kind: 'never' }
  | { kind: 'live'; tempC: number; ageMs: number }
  | { kind: 'old'; tempC: number; ageMs: number }
  | { kind: 'ahead' };

/** Whether the newest value may be shown as what is now; what cannot be compared is not live. */
export function probeNews({ lastValueC, ageMs }: Pick<SensorView, 'lastValueC' | 'ageMs'>): ProbeNews {
  if (lastValueC === null || ageMs === null || !Number.isFinite(ageMs)) return { kind: 'never' };
  if (ageMs < -AHEAD_MS) return { kind: 'ahead' };
  const age = Math.max(0, ageMs);
  return { kind: age <= FRESH_MS ? 'live' : 'old', tempC: lastValueC, ageMs: age };
}

export function newsText(news: ProbeNews): string {
  switch (news.kind) {
    case 'never':
      return 'never heard';
    case 'live':
      return `${degText(news.tempC)}, ${agoText(news.ageMs)}`;
    case 'old':
      return `silent, last ${degText(news.tempC)} ${agoText(news.ageMs)}`;
    case 'ahead':
      return 'its clock is ahead, cannot tell';
  }
}

// QARTOD primary flags (U.S. IOOS, Manual for Real-Time Oceanographic Data Quality Control Flags, 2020).
export function qualityText(quality: number | null): string | null {
  switch (quality) {
    case 1:
    case 2:
    case null:
      return null;
    case 3:
      return 'suspect reading';
    case 4:
      return 'failed reading';
    default:
      return 'reading missing';
  }
}

export function probeName({ id, label }: Pick<SensorView, 'id' | 'label'>): string {
  return label === '' || label === id ? id : `${label} (${id})`;
}

/** One probe in a list to choose from. */
export function probeOption(sensor: SensorView): string {
  const seat = sensor.assignedTo === null ? 'free' : `in ${sensor.assignedTo.name}`;
  return `${probeName(sensor)}: ${newsText(probeNews(sensor))}, ${seat}`;
}
