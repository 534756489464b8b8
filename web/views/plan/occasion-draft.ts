import { CookoutInputSchema } from '../../../server/contract/cookout.ts';
import type { Cookout, CookoutInput } from '../../../server/contract/cookout.ts';
import type { RuleSetId } from '../../../server/contract/food.ts';
import { check, numberOf } from '../../form/check.ts';
import type { Checked } from '../../form/check.ts';
import { isTimeZone, localTime, zonedTime } from '../../form/zoned-time.ts';

export const SERVES_MAX = 6;
export type ServeDraft = { id: string | null; date: string; clock: string };
export type OccasionDraft = {
  name: string;
  guests: string;
  ruleSet: RuleSetId;
  timeZone: string;
  altitudeM: string;
  serves: readonly ServeDraft[];
};

const SUPPER_CLOCK = '18:30';
const HOUR_MS = 3_600_000;

/** Half past six today when that is still an hour away; otherwise the time stays open. */
export function newOccasion(nowMs: number, timeZone: string): OccasionDraft {
  const { date } = localTime(nowMs, timeZone);
  const supper = zonedTime({ date, clock: SUPPER_CLOCK }, timeZone);
  const clock = supper.ok && supper.atMs - nowMs >= HOUR_MS ? SUPPER_CLOCK : '';
  return {
    name: '',
    guests: '20',
    ruleSet: 'uk',
    timeZone,
    altitudeM: '0',
    serves: [{ id: null, date, clock }],
  };
}

export function occasionDraft(cookout: Cookout): OccasionDraft {
  return {
    name: cookout.name,
    guests: String(cookout.guests),
    ruleSet: cookout.ruleSet,
    timeZone: cookout.timeZone,
    altitudeM: String(cookout.altitudeM),
    serves: cookout.serves.map(({ id, atMs }) => ({ id, ...localTime(atMs, cookout.timeZone) })),
  };
}

/** One more serving, on the day of the last one. */
export function withServe(draft: OccasionDraft, nowMs: number): OccasionDraft {
  const zone = isTimeZone(draft.timeZone) ? draft.timeZone : 'UTC';
  const date = draft.serves.at(-1)?.date ?? localTime(nowMs, zone).date;
  return { ...draft, serves: [...draft.serves, { id: null, date, clock: '' }] };
}

const MESSAGES = {
  name: 'Give it a name of 1 to 60 letters.',
  guests: 'Give a whole number of guests from 0 to 500.',
  ruleSet: 'Choose whose limits apply.',
  altitudeM: 'Give metres above the sea, from -430 to 6000.',
  serves: 'At most six servings.',
};

/** A serving whose clock is left empty is not sent: nobody has set it yet. */
export function checkOccasion(draft: OccasionDraft): Checked<CookoutInput> {
  const errors: Record<string, string> = {};
  if (!isTimeZone(draft.timeZone))
    errors['timeZone'] = 'This time zone is not known. Try one like Europe/London.';
  const serves: { id?: string; atMs: number }[] = [];
  draft.serves.forEach((serve, index) => {
    if (serve.clock.trim() === '') return;
    const at = zonedTime(serve, draft.timeZone);
    if (at.ok) serves.push(serve.id === null ? { atMs: at.atMs } : { id: serve.id, atMs: at.atMs });
    else if (!('timeZone' in errors)) errors[`serves.${String(index)}`] = at.why;
  });
  const checked = check({
    schema: CookoutInputSchema,
    candidate: {
      name: draft.name,
      guests: numberOf(draft.guests),
      ruleSet: draft.ruleSet,
      timeZone: draft.timeZone,
      altitudeM: numberOf(draft.altitudeM),
      serves,
    },
    messages: MESSAGES,
  });
  if (Object.keys(errors).length === 0) return checked;
  return { ok: false, errors: checked.ok ? errors : { ...checked.errors, ...errors } };
}
