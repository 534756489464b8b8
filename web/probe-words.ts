import type { ReasonName } from '../server/contract/reading.ts';
import type { SensorView } from '../server/contract/probe.ts';
import { agoText } from './format/duration.ts';
import { degText } from './format/temperature.ts';
import { STANDING_WORDS } from './standing-words.ts';

/** No sending interval is known here, so the shortest patience of the screen counts (60 s). */
export const FRESH_MS = 60_000;
/** How far a probe's clock may be ahead before its reading stops counting as new. */
const AHEAD_MS = 5_000;

export type ProbeNews =
  | { kind: 'never' }
  | { kind: 'live'; tempC: number; ageMs: number }
  | { kind: 'old'; tempC: number; ageMs: number }
  | { kind: 'ahead' }
  /** The broker kept it for whoever subscribes later: nobody can tell when it was measured. */
  | { kind: 'kept'; tempC: number }
  /** A number came that is no temperature of anything. */
  | { kind: 'unusable'; tempC: number; ageMs: number }
  | { kind: 'unplugged'; sinceMs: number };

type Told = Pick<SensorView, 'lastValueC' | 'ageMs' | 'quality' | 'reasons' | 'unpluggedSinceMs'>;

/** Whether the newest value may be shown as what is now; what cannot be compared is not live. */
export function probeNews({ lastValueC, ageMs, quality, reasons, unpluggedSinceMs }: Told): ProbeNews {
  if (unpluggedSinceMs !== null) return { kind: 'unplugged', sinceMs: unpluggedSinceMs };
  if (lastValueC === null || ageMs === null || !Number.isFinite(ageMs)) return { kind: 'never' };
  if (reasons.includes('retained')) return { kind: 'kept', tempC: lastValueC };
  if (ageMs < -AHEAD_MS) return { kind: 'ahead' };
  const age = Math.max(0, ageMs);
  const kind = isUsable(quality) ? (age <= FRESH_MS ? 'live' : 'old') : 'unusable';
  return { kind, tempC: lastValueC, ageMs: age };
}

// QARTOD primary flags (U.S. IOOS, Manual for Real-Time Oceanographic Data Quality Control Flags, 2020).
const SUSPECT = 3;

/** Good, not evaluated and suspect are temperatures; failed and missing are not. */
function isUsable(quality: number | null): boolean {
  return quality === 1 || quality === 2 || quality === SUSPECT;
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
    case 'kept':
      return 'only an old value from the broker';
    case 'unusable':
      return 'sends no usable number';
    case 'unplugged':
      return 'nothing plugged in';
  }
}

const REASON_WORDS: Record<ReasonName, string> = {
  gross: 'nothing here can be so hot or so cold',
  spike: 'it jumped',
  rate: 'it changes faster than food can',
  flat: 'it has not moved for a long time',
  gap: 'readings are missing before it',
  clock: 'its clock is wrong',
  late: 'it came late',
  retained: 'old value from the broker',
  unit: 'its unit is not known',
  sentinel: 'the number it sends when it measures nothing',
  device: 'the probe itself doubts it',
};

/** The flag in words with its reasons: "suspect: it jumped"; null where there is nothing to say. */
export function qualityText({ quality, reasons }: Pick<SensorView, 'quality' | 'reasons'>): string | null {
  const why = reasons.map((reason) => REASON_WORDS[reason]).join(', ');
  const flag = flagText(quality);
  if (flag === null) return why === '' ? null : why;
  return why === '' ? flag : `${flag}: ${why}`;
}

function flagText(quality: number | null): string | null {
  switch (quality) {
    case 1:
    case 2:
    case null:
      return null;
    case SUSPECT:
      return 'suspect';
    case 4:
      return 'failed';
    default:
      return 'missing';
  }
}

export function probeName({ id, label }: Pick<SensorView, 'id' | 'label'>): string {
  return label === '' || label === id ? id : `${label} (${id})`;
}

/** One probe in a list to choose from. */
export function probeOption(sensor: SensorView): string {
  const seat = sensor.assignedTo === null ? 'free' : `in ${sensor.assignedTo.name}`;
  const check = sensor.standing === 'passed' ? '' : `, ${STANDING_WORDS[sensor.standing]}`;
  return `${probeName(sensor)}: ${newsText(probeNews(sensor))}, ${seat}${check}`;
}
