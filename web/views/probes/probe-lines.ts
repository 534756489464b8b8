import type { Correction, ProbeCheck, ProbeHistory, SensorView } from '../../../server/contract/probe.ts';
import { clockText } from '../../format/clock.ts';
import { shortDayText } from '../../format/day.ts';
import { nearestSpanText } from '../../format/duration.ts';
import { degText, signedText } from '../../format/temperature.ts';

const OTHER_CHECK = { ice: 'boil', boil: 'ice' } as const;
export const CHECK_NAMES = { ice: 'ice check', boil: 'boiling check' } as const;

/** Below this share a battery is said to be low, percent. OURS. */
const LOW_BATTERY_PERCENT = 15;

export type BatteryLine = { isLow: boolean; text: string };

export function batteryLine({ battery }: Pick<SensorView, 'battery'>): BatteryLine | null {
  if (battery === null) return null;
  // written so that a share that is no number counts as low
  const isLow = !(battery.percent >= LOW_BATTERY_PERCENT);
  const share = Number.isFinite(battery.percent) ? `${Math.round(battery.percent)} %` : 'cannot tell';
  return { isLow, text: isLow ? `Battery low, ${share}: change it before the fire` : `Battery ${share}` };
}

/** "Its clock is 12 s slow, its times are put right"; null while there is nothing to say. */
export function clockLine({ clock }: Pick<SensorView, 'clock'>): string | null {
  switch (clock.kind) {
    case 'none':
    case 'good':
      return null;
    case 'off':
      return offText(clock.behindMs);
    case 'jumping':
      return 'Its clock jumps: the moment of arrival counts instead';
  }
}

function offText(behindMs: number | null): string {
  if (behindMs === null || !Number.isFinite(behindMs))
    return 'Its clock is wrong, nobody can tell by how much';
  return `Its clock is ${nearestSpanText(Math.abs(behindMs))} ${behindMs > 0 ? 'slow' : 'fast'}`;
}

/** What the newest check says, with its numbers where it did not pass. */
export function standingLine(
  { standing, lastCheck, correction }: Pick<SensorView, 'standing' | 'lastCheck' | 'correction'>,
  timeZone: string,
): string {
  if (standing === 'never' || lastCheck === null) return 'Never checked';
  const day = shortDayText(lastCheck.atMs, timeZone);
  const name = capital(CHECK_NAMES[lastCheck.kind]);
  switch (standing) {
    case 'passed':
      return `${name} passed ${day}`;
    case 'old':
      return `${name} passed ${day}: too long ago, check it again`;
    case 'failed':
      if (lastCheck.outcome === 'passed' && !(correction !== null && correction.fromMs > lastCheck.atMs))
        return `Failed until its ${CHECK_NAMES[OTHER_CHECK[lastCheck.kind]]} is passed. The ${CHECK_NAMES[lastCheck.kind]} passed ${day}`;
      return correction !== null && correction.fromMs > lastCheck.atMs
        ? `Its correction changed after the ${CHECK_NAMES[lastCheck.kind]} of ${day}: check it again`
        : `Failed its ${CHECK_NAMES[lastCheck.kind]} ${day}: ${readText(lastCheck)}`;
  }
}

/** "read 1.6°, should read 0.0°". */
export function readText({ readC, expectedC }: Pick<ProbeCheck, 'readC' | 'expectedC'>): string {
  return `read ${degText(readC)}, should read ${degText(expectedC)}`;
}

/** "Corrected by +0.6° since 12 Sep 14:05"; null while the probe is taken as it sends. */
export function correctionLine(correction: Correction | null, timeZone: string): string | null {
  if (correction === null || correction.kind === 'none') return null;
  const since = `${shortDayText(correction.fromMs, timeZone)} ${clockText(correction.fromMs, timeZone)}`;
  return `Corrected by ${correctionText(correction)} since ${since}`;
}

/** "+0.6°" for one point; with two points what it comes to in ice and at 100°. */
export function correctionText({
  kind,
  gain,
  offsetC,
}: Pick<Correction, 'kind' | 'gain' | 'offsetC'>): string {
  switch (kind) {
    case 'none':
      return 'nothing';
    case 'one-point':
      return signedText(offsetC);
    case 'two-point':
      return `${signedText(offsetC)} in ice and ${signedText((gain - 1) * 100 + offsetC)} at 100°`;
  }
}

export type HistoryLine = { key: string; atMs: number; text: string };

/** Checks and corrections as they followed each other, newest first. */
export function historyLines({ checks, corrections }: ProbeHistory): HistoryLine[] {
  const made = checks.map((one) => ({
    key: one.id,
    atMs: one.atMs,
    text: `${capital(CHECK_NAMES[one.kind])} ${one.outcome}: ${readText(one)}`,
  }));
  const begun = corrections.map((one) => ({
    key: one.id,
    atMs: one.fromMs,
    text: one.kind === 'none' ? 'Correction ended' : `Corrected by ${correctionText(one)} from here on`,
  }));
  return [...made, ...begun].sort((a, b) => b.atMs - a.atMs);
}

export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
