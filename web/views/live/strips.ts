import type { Action, Alarm, Board, Row } from '../../../server/contract/board.ts';
import { clockText } from '../../format/clock.ts';
import { MINUTE_MS, minutesBetween } from '../../format/duration.ts';
import { degText } from '../../format/temperature.ts';
import { worstFirst } from '../../state.ts';
import type { GlyphName } from '../../glyph.tsx';
import { WORDS, actionText, brokenText, counted, driftWord } from '../../words.ts';
import { HORIZON_MIN } from './axis.ts';

export type When = { isNow: boolean; before: string; number: string; after: string };
export type StripOne =
  | { kind: 'stopped' }
  | { kind: 'alarm'; alarm: Alarm; more: number }
  | { kind: 'action'; action: Action; when: When }
  | { kind: 'quiet'; title: string; link: { href: string; text: string } | null };

export type Tag = {
  look: 'plain' | 'watch' | 'seen' | 'lost';
  glyph: GlyphName;
  text: string;
  note: string;
  href: string | null;
};
export type StripTwo = { tag: Tag; then: Action | null };
/** The newest cookout that has ended, offered while none is running. */
export type Ended = { id: string; name: string };
export type StripContext = {
  board: Board | null;
  nowMs: number;
  linkLostMs: number | null;
  lastEnded: Ended | null;
};

/** The one thing that needs the person most. A watch that stopped is louder than anything else. */
export function stripOne({ board, nowMs, linkLostMs }: StripContext): StripOne {
  if (board === null) {
    return { kind: 'quiet', title: linkLostMs === null ? WORDS.waiting : WORDS.noLink, link: null };
  }
  if (!board.watchOk) return { kind: 'stopped' };
  const unseen = unseenAlarms(board);
  const [alarm] = unseen;
  if (alarm !== undefined) return { kind: 'alarm', alarm, more: unseen.length - 1 };
  if (board.cookout === null) {
    return { kind: 'quiet', title: WORDS.noPlan, link: { href: '#/plan', text: WORDS.startPlan } };
  }
  const [action] = board.next;
  if (action !== undefined)
    return { kind: 'action', action, when: whenOf(action, nowMs, linkLostMs !== null) };
  if (board.allServed) return { kind: 'quiet', title: WORDS.allServed, link: null };
  if (!board.rows.some(({ subject }) => subject.kind === 'batch'))
    return { kind: 'quiet', title: WORDS.noBatches, link: { href: '#/plan/dishes', text: WORDS.toPlan } };
  return { kind: 'quiet', title: WORDS.nothingDue, link: null };
}

/** Alarms that ask to be seen; one that is back to normal waits in strip 2. */
export function unseenAlarms({ alarms }: Board): Alarm[] {
  return alarms.filter((alarm) => alarm.state === 'unacknowledged').sort(worstFirst);
}

export function whenOf(
  { atMs, known }: Pick<Action, 'atMs' | 'known'>,
  nowMs: number,
  isLinkLost: boolean,
): When {
  if (isLinkLost) return { isNow: false, before: '', number: '?', after: '' };
  const leftMin = minutesBetween(nowMs, atMs);
  if (leftMin <= 0) return { isNow: true, before: '', number: WORDS.now, after: '' };
  if (!(leftMin <= HORIZON_MIN))
    return { isNow: false, before: 'in', number: String(Math.floor(leftMin / 60)), after: 'h' };
  const minutes = String(Math.max(1, Math.round(leftMin)));
  return { isNow: false, before: 'in', number: known ? minutes : `${minutes}+`, after: 'min' };
}

/** "in 2 min", "now", "?". */
export function whenText({ before, number, after }: When): string {
  return [before, number, after].filter((part) => part !== '').join(' ');
}

/** What may need a thought: the safety sentence, or the next action when an alarm took its place. */
export function stripTwo(context: StripContext): StripTwo {
  const { board, linkLostMs } = context;
  if (board === null)
    return { tag: linkLostMs === null ? tagOf('clock', WORDS.waiting) : linkTag(context), then: null };
  const then = board.next[1] ?? null;
  if (linkLostMs !== null) return { tag: linkTag(context), then };
  if (!board.watchOk) {
    const [worst] = board.alarms;
    return {
      tag: worst === undefined ? cannotTell('limits not checked', null) : alarmTag(board, worst),
      then: board.next[0] ?? null,
    };
  }
  const isTaken = unseenAlarms(board).length > 0;
  return { tag: isTaken ? besideAlarmTag(board, context.nowMs) : safetyTag(board, context.lastEnded), then };
}

/** Strip 1 holds an alarm: here stands the next action, else the next alarm. */
function besideAlarmTag(board: Board, nowMs: number): Tag {
  const [action] = board.next;
  if (action !== undefined) return nextTag(action, nowMs);
  const [shown] = unseenAlarms(board);
  const others = board.alarms.filter((alarm) => alarm.id !== shown?.id);
  const [other] = others;
  return other === undefined
    ? tagOf('clock', WORDS.nothingDue)
    : alarmTag({ ...board, alarms: others }, other);
}

function tagOf(glyph: GlyphName, text: string, more: Partial<Tag> = {}): Tag {
  return { look: 'plain', glyph, text, note: '', href: null, ...more };
}

function linkTag({ board, linkLostMs }: StripContext): Tag {
  const zone = board?.cookout?.timeZone;
  const since = linkLostMs === null || zone === undefined ? '' : ` since ${clockText(linkLostMs, zone)}`;
  return tagOf('lost', `No link${since}`, { look: 'lost' });
}

function nextTag(action: Action, nowMs: number): Tag {
  const when = whenText(whenOf(action, nowMs, false));
  return tagOf(action.verb, actionText(action), { note: when, href: itemHref(action.rowId) });
}

function cannotTell(what: string, href: string | null): Tag {
  return tagOf('lost', `${WORDS.cannotTell}: ${what}`, { look: 'lost', href });
}

/** Never says that food is safe: it says what was measured against its limits, and what nobody can know. */
function safetyTag(board: Board, lastEnded: Ended | null): Tag {
  const [worst] = board.alarms.filter((alarm) => alarm.state !== 'normal');
  if (worst?.class === 'unsafe') return alarmTag(board, worst);
  const outside = board.rows.find(isOutside);
  if (outside !== undefined) return outsideTag(outside);
  if (worst !== undefined) return alarmTag(board, worst);
  const blind = blindTag(board.rows);
  if (blind !== null) return blind;
  if (board.allServed && board.cookout !== null) {
    return tagOf('seen', WORDS.recordReady, { href: recordHref(board.cookout.id) });
  }
  if (board.cookout === null && lastEnded !== null)
    return tagOf('seen', `Record of ${lastEnded.name}`, { href: recordHref(lastEnded.id) });
  if (board.cookout !== null && board.sensorsHeard === 0)
    return tagOf('lost', WORDS.noProbes, { href: '#/probes' });
  if (!board.rows.some(isMeasured)) return tagOf('lost', WORDS.nothingMeasured);
  const failed = board.rows.filter((row) => isMeasured(row) && row.limit !== null && row.probe === 'failed');
  if (failed[0] !== undefined) {
    const unchecked = probesThat(board.rows, 'never');
    return {
      ...failedTag(failed[0], probesThat(board.rows, 'failed')),
      note: unchecked === 0 ? '' : `${unchecked} unchecked`,
    };
  }
  const watched = board.rows.find((row) => row.state === 'watch');
  if (watched === undefined) return tagOf('ok', WORDS.noLimitBroken, doubtNote(board.rows));
  const what = watched.kind === 'cook' || watched.kind === 'clock' ? 'late' : driftWord(watched.kind);
  return tagOf('watch', `${WORDS.noLimitBroken}. ${watched.short} ${what}`, {
    look: 'watch',
    href: itemHref(watched.id),
  });
}

/** A probe that failed its check says nothing in favour of the food. */
function failedTag(first: Row, count: number): Tag {
  return count === 1
    ? cannotTell(`${first.short} probe failed`, itemHref(first.id))
    : cannotTell(`${counted(count, 'probe')} failed`, '#/probes');
}

/** How many probes stand so in what is on the go or still planned. */
function probesThat(rows: readonly Row[], standing: Row['probe']): number {
  const seats = rows.filter(({ state, probe }) => state !== 'off' && probe === standing);
  return new Set(seats.map(({ sensorId }) => sensorId)).size;
}

/** "1 probe failed, 2 unchecked", the worse first, with the way to where they are checked. */
function doubtNote(rows: readonly Row[]): Partial<Tag> {
  const [failed, unchecked] = [probesThat(rows, 'failed'), probesThat(rows, 'never')];
  const both = failed > 0 && unchecked > 0;
  const note = both
    ? `${counted(failed, 'probe')} failed, ${unchecked} unchecked`
    : failed > 0
      ? `${counted(failed, 'probe')} failed`
      : `${counted(unchecked, 'probe')} unchecked`;
  return failed + unchecked === 0 ? {} : { note, href: '#/probes' };
}

/** Outside its limit now, though the alarm still waits for its delay to be over: the limit is broken all the same. */
export function isOutside(row: Row): boolean {
  return row.state === 'watch' && row.outsideMs !== null;
}

function outsideTag(row: Row): Tag {
  return tagOf('watch', `${row.short} ${brokenText(row.limit)}`, { look: 'watch', href: itemHref(row.id) });
}

function isMeasured(row: Row): boolean {
  return row.tempC !== null && row.sensorId !== null && row.state !== 'off';
}

function alarmTag(board: Board, alarm: Alarm): Tag {
  const others = board.alarms.length - 1;
  const more = others > 0 ? ` and ${others} more` : '';
  const row = board.rows.find(({ id }) => id === alarm.rowId);
  const href = alarm.rowId === null ? null : itemHref(alarm.rowId);
  if (alarm.class === 'cannot-tell')
    return tagOf('lost', `${alarm.title}${more}`, { look: 'lost', note: seenNote(alarm), href });
  if (row === undefined)
    return tagOf('unsafe', `${alarm.title}${more}`, { look: 'seen', note: seenNote(alarm), href });
  if (alarm.state === 'returned') {
    return tagOf('unsafe', `${row.short} was ${brokenText(row.limit)}`, {
      look: 'seen',
      note: `not seen${more}`,
      href,
    });
  }
  const long = row.outsideMs === null ? '' : `for ${Math.floor(row.outsideMs / MINUTE_MS)} min, `;
  const temp = row.tempC === null ? '' : ` ${degText(row.tempC)}`;
  return tagOf('unsafe', `${row.short}${temp}`, {
    look: 'seen',
    note: `${long}${seenNote(alarm)}${more}`,
    href,
  });
}

function seenNote(alarm: Alarm): string {
  return alarm.state === 'acknowledged' ? 'seen' : 'not seen';
}

/** Rows of which nobody knows whether their limit holds. */
function blindTag(rows: readonly Row[]): Tag | null {
  const out = rows.filter((row) => row.state === 'probe-out');
  const silent = rows.filter((row) => row.state === 'silent');
  const unread = rows.filter((row) => isUnread(row));
  const all = [...silent, ...out, ...unread];
  const [first] = all;
  if (first === undefined) return null;
  const href = all.length === 1 ? itemHref(first.id) : null;
  if (silent.length === all.length) return cannotTell(`${counted(silent.length, 'probe')} silent`, href);
  if (all.length === 1)
    return cannotTell(out.length === 1 ? `${first.short} probe out` : `${first.short} not read`, href);
  return cannotTell(`${counted(all.length, 'row')} not read`, href);
}

/** A bag or pot with a limit and no reading at all: unknown is never fine. */
function isUnread(row: Row): boolean {
  if (row.limit === null || (row.kind !== 'cold' && row.kind !== 'hot')) return false;
  return (
    row.tempC === null &&
    row.state !== 'silent' &&
    row.state !== 'probe-out' &&
    row.state !== 'off' &&
    row.state !== 'waiting'
  );
}

function recordHref(cookoutId: string): string {
  return `#/record/${encodeURIComponent(cookoutId)}`;
}

export function itemHref(rowId: string): string {
  return `#/item/${encodeURIComponent(rowId)}`;
}
