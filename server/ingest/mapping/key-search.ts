import { searchSteps } from '../../contract/key-pattern.ts';
import type { Member } from './sensor-name.ts';

/** OURS: a name longer than this is none of a channel. */
const LONGEST_KEY = 64;
/** OURS: some ten milliseconds for one message, whatever it holds; a thousand channels `ch1` to `ch999` need a tenth. */
const MOST_STEPS = 1_500_000;

/** Looks for the members of one message that the expressions of its rule choose, within a bound for all of them. */
export class KeySearch {
  private stepsLeft = MOST_STEPS;

  /** @returns the members that match, or null when it would take too long to find out */
  matching(members: readonly Member[], pattern: RegExp): Member[] | null {
    const names = members.filter(({ key }) => key.length <= LONGEST_KEY);
    const byLength = new Map<number, number>();
    for (const { key } of names) {
      const steps = byLength.get(key.length) ?? searchSteps(pattern.source, key.length);
      byLength.set(key.length, steps);
      this.stepsLeft -= steps;
    }
    return this.stepsLeft < 0 ? null : names.filter(({ key }) => pattern.test(key));
  }
}
