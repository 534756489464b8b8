import type { ProbeStanding } from '../server/contract/probe.ts';

export const STANDING_WORDS: Record<ProbeStanding, string> = {
  passed: 'passed its check',
  old: 'checked too long ago',
  failed: 'failed its check',
  never: 'never checked',
};

export type Doubt = Extract<ProbeStanding, 'failed' | 'never'>;

/** A probe that failed or never had its check says so wherever it is used. */
export function doubtOf(standing: ProbeStanding | null): Doubt | null {
  return standing === 'failed' || standing === 'never' ? standing : null;
}

/** What is said beside a temperature: of its probe, or of the value itself. */
export type ValueDoubt = Doubt | 'suspect';

/** A failed check is the reason why values are suspect, so it is what is said; a suspect value outdoes a missing check. */
export function valueDoubtOf({
  probe,
  suspect,
}: {
  probe: ProbeStanding | null;
  suspect: boolean;
}): ValueDoubt | null {
  const doubt = doubtOf(probe);
  return suspect && doubt !== 'failed' ? 'suspect' : doubt;
}

/** The same in so few letters that a row of the live screen has room for them. */
export const DOUBT_SHORT: Record<ValueDoubt, string> = {
  failed: 'failed check',
  never: 'unchecked',
  suspect: 'suspect',
};
