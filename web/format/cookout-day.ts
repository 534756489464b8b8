import type { Cookout } from '../../server/contract/cookout.ts';
import { dayText } from './day.ts';

/** The day that a cookout is for: that of its first serving, else that on which it was planned; in its own zone. */
export function cookoutDay({
  serves,
  createdMs,
  timeZone,
}: Pick<Cookout, 'serves' | 'createdMs' | 'timeZone'>): string {
  const firstMs = serves.length === 0 ? createdMs : Math.min(...serves.map(({ atMs }) => atMs));
  return dayText(firstMs, timeZone);
}
