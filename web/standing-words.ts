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

/** The same in so few letters that a row of the live screen has room for them. */
export const DOUBT_SHORT: Record<Doubt, string> = { failed: 'failed check', never: 'unchecked' };
