import type { Condition, LimitCondition, SystemCondition } from './condition.ts';
import type { AlarmState } from './machine.ts';

export type AlarmWords = { title: string; detail: string };
type Phase = 'broken' | 'hardly-back' | 'not-heard' | 'back' | 'back-not-heard';

/**
 * The two lines of an alarm: what and state, 22 characters at most for a name of ten; then reading, limit, how long, and the act. Whole minutes, no old number as if
 * it were live, and never that food is safe.
 *
 * @param state - the alarm's state after this tick
 * @param nowMs - epoch ms
 */
export function alarmWords(condition: Condition, state: AlarmState, nowMs: number): AlarmWords {
  const phase = phaseOf(condition, state);
  switch (condition.kind) {
    case 'system':
      return systemWords(condition, phase);
    case 'core-short':
      return coreWords(condition, phase);
    case 'probe-silent':
      return probeWords(condition, phase, nowMs);
    case 'cold-over':
    case 'hot-under':
      return holdWords(condition, phase, nowMs);
  }
}

/** What an alarm says that nothing watches any more: its last number is not repeated. */
export const UNWATCHED_DETAIL = 'No longer watched. Check it by hand.';

/** The name under which a fault of the watch itself stands in the journal. */
export function systemName(fault: SystemCondition['fault']): string {
  switch (fault) {
    case 'watch':
      return 'Watch of the limits';
    case 'store':
      return 'Keeping of the readings';
  }
}

function phaseOf({ verdict }: Condition, state: AlarmState): Phase {
  const back = state === 'returned' || state === 'normal';
  switch (verdict) {
    case 'true':
      return 'broken';
    case 'false':
      return back ? 'back' : 'hardly-back';
    case 'unknown':
      return back ? 'back-not-heard' : 'not-heard';
  }
}

function systemWords({ fault }: SystemCondition, phase: Phase): AlarmWords {
  const back = isBack(phase);
  switch (fault) {
    case 'watch':
      return back
        ? { title: 'Watch runs again', detail: 'Limits were not checked for a while. Check once by hand.' }
        : { title: 'Watch has stopped', detail: 'Limits are not being checked. Check by hand.' };
    case 'store':
      return back
        ? { title: 'Readings kept again', detail: 'The record has a gap. Note by hand what happened.' }
        : { title: 'Readings not kept', detail: 'Nothing is being recorded. Check and note by hand.' };
  }
}

function isBack(phase: Phase): boolean {
  return phase === 'back' || phase === 'back-not-heard';
}

function coreWords(condition: LimitCondition, phase: Phase): AlarmWords {
  const { short, limitText } = condition;
  const valueC = measuredC(condition);
  if (isBack(phase)) {
    return {
      title: `${short} was low`,
      detail: `It left the fire below its limit, ${limitText}. Check the core again.`,
    };
  }
  const title = `${short} below limit`;
  return valueC === null
    ? { title, detail: `Core not measured, limit ${limitText}. Check it by hand.` }
    : { title, detail: `Reached ${outward(valueC, 'down')}, not ${limitText}. Back on the fire.` };
}

function probeWords(condition: LimitCondition, phase: Phase, nowMs: number): AlarmWords {
  const { short, sinceMs } = condition;
  const valueC = measuredC(condition);
  if (phase === 'back' || phase === 'hardly-back') {
    const reads = valueC === null ? 'Readings come again.' : `Reads ${outward(valueC, null)} again.`;
    return { title: `${short} heard again`, detail: `${reads} Check once by hand what was missed.` };
  }
  if (condition.isHeard) {
    const doubted = `Its readings have not been believed${forMinutes(nowMs, sinceMs)}.`;
    return { title: `${short}: in doubt`, detail: `${doubted} Check it by hand.` };
  }
  const silentFor = forMinutes(nowMs, sinceMs) || ' yet';
  const last = valueC === null ? '' : `, last ${outward(valueC, null)}`;
  return { title: `${short}: no reading`, detail: `No reading${silentFor}${last}. Check it by hand.` };
}

function holdWords(condition: LimitCondition, phase: Phase, nowMs: number): AlarmWords {
  const { short, valueAtMs, limitC, sinceMs } = condition;
  const cold = condition.kind === 'cold-over';
  const valueC = measuredC(condition);
  const title = isBack(phase)
    ? `${short} was ${cold ? 'warm' : 'cool'}`
    : `${short} too ${cold ? 'warm' : 'cool'}`;
  const beyond = cold ? 'over' : 'under';
  const inside = cold ? 'under' : 'over';
  const reads = valueC === null ? 'Reading not known' : outward(valueC, cold ? 'up' : 'down');
  const limit = limitC === null ? 'its limit' : `${plain(limitC)}°`;
  switch (phase) {
    case 'broken':
      return {
        title,
        detail: `${reads}, ${beyond} ${limit}${forMinutes(nowMs, sinceMs)}. ${act(condition)}`,
      };
    case 'hardly-back':
      return { title, detail: `${reads}, only just back ${inside} ${limit}. ${act(condition)}` };
    case 'not-heard':
      return {
        title,
        detail: `No reading${forMinutes(nowMs, valueAtMs)}, was ${beyond} ${limit}. ${act(condition)}`,
      };
    case 'back':
      return { title, detail: `Was ${beyond} ${limit}, now back. Check the food and note what was done.` };
    case 'back-not-heard':
      return { title, detail: `Was ${beyond} ${limit}, came back. No reading now, check by hand.` };
  }
}

function act({ kind, food }: LimitCondition): string {
  if (kind === 'hot-under') return 'Heat it up now.';
  return food === 'stew' ? 'Ice it or heat it now.' : 'Ice it or cook it now.';
}

/** " for 12 min", or nothing where the start is not known. */
function forMinutes(nowMs: number, sinceMs: number | null): string {
  const whole = Math.floor((nowMs - (sinceMs ?? NaN)) / 60_000);
  if (Number.isNaN(whole)) return '';
  return whole >= 1 ? ` for ${String(whole)} min` : ' for under 1 min';
}

function measuredC({ valueC }: LimitCondition): number | null {
  return valueC !== null && Number.isFinite(valueC) ? valueC : null;
}

/** Tenths of a degree, rounded towards the breach, so that a number past its limit never reads as the limit itself. */
function outward(tempC: number, towards: 'up' | 'down' | null): string {
  const tenths = tempC * 10;
  /** A number with one decimal is not exact in binary; this keeps 9.1 from becoming 9.2. */
  const slack = 1e-6;
  const rounded =
    towards === 'up'
      ? Math.ceil(tenths - slack)
      : towards === 'down'
        ? Math.floor(tenths + slack)
        : Math.round(tenths);
  return `${(rounded / 10).toFixed(1)}°`;
}

function plain(tempC: number): string {
  return String(Math.round(tempC * 10) / 10);
}
