import { ProbeCheckInputSchema } from '../../../server/contract/probe.ts';
import type { CheckAnswer, CheckKind, ProbeCheckInput, SensorView } from '../../../server/contract/probe.ts';
import { check, numberOf } from '../../form/check.ts';
import type { Checked } from '../../form/check.ts';
import { degText } from '../../format/temperature.ts';
import { probeNews } from '../../probe-words.ts';
import { CHECK_NAMES, capital, correctionText } from './probe-lines.ts';

/** As typed. An empty `readC` stands for the newest live reading. */
export type CheckDraft = { kind: CheckKind; readC: string; altitudeM: string };

export function newCheck(altitudeM: number | null): CheckDraft {
  return { kind: 'ice', readC: '', altitudeM: altitudeM === null ? '' : String(altitudeM) };
}

export function checkFields({ kind }: CheckDraft): readonly string[] {
  return kind === 'boil' ? ['kind', 'altitudeM', 'readC'] : ['kind', 'readC'];
}

const MESSAGES = {
  readC: 'Type what it reads, like 0.4, or leave it empty to take the live value.',
  altitudeM: 'Give the height above the sea in metres, from -430 to 6000.',
};

export function checkInput({ kind, readC, altitudeM }: CheckDraft): Checked<ProbeCheckInput> {
  const candidate = {
    kind,
    ...(readC.trim() === '' ? {} : { readC: numberOf(readC) }),
    ...(kind === 'ice' || altitudeM.trim() === '' ? {} : { altitudeM: numberOf(altitudeM) }),
  };
  return check({ schema: ProbeCheckInputSchema, candidate, messages: MESSAGES });
}

/** What number is meant where one may be typed: never the one that was corrected here. */
export function typedHint(sensor: SensorView): string {
  const empty = 'Empty: the live value above is taken';
  const { correction, lastRawC } = sensor;
  if (correction === null || correction.kind === 'none')
    return `For a probe with a display of its own. ${empty}`;
  const by = correctionText(correction);
  const isLive = probeNews(sensor).kind === 'live' && lastRawC !== null;
  const raw = isLive ? `: ${degText(lastRawC)} as it came just now, not the value above` : '';
  return `As the probe itself shows it, without our correction of ${by}${raw}. ${empty}`;
}

/** What to do, step by step. */
export const CHECK_STEPS: Record<CheckKind, readonly string[]> = {
  ice: [
    'Fill a cup with crushed ice to the rim and add cold water until it stands just below the top of the ice: half and half.',
    'Stir, and stir again now and then.',
    'Hold the tip in the middle of it. It touches neither ice, side nor bottom.',
    'Wait until the value stands still for a minute.',
  ],
  boil: [
    'Bring a deep pan of clean water to a rolling boil and keep it there.',
    'Hold the tip in the middle of the water, off the bottom and the side. Mind the steam.',
    'Wait until the value stands still for a minute.',
  ],
};

/** What came of it, with all its numbers. */
export function outcomeText({ check: made }: Pick<CheckAnswer, 'check'>): string {
  const { kind, readC, expectedC, windowC, altitudeM, outcome } = made;
  const height = altitudeM === null ? '' : ` ${Math.round(altitudeM)} m above the sea`;
  const water = kind === 'ice' ? 'Ice water is' : `Water boils${height} at`;
  return `${capital(CHECK_NAMES[kind])} ${outcome}: it read ${degText(readC)}. ${water} ${degText(expectedC)}, and ${degText(windowC)} either way is accepted.`;
}
