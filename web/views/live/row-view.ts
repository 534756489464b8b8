import type { Row } from '../../../server/contract/board.ts';
import { clockText } from '../../format/clock.ts';
import { MINUTE_MS, minutesBetween } from '../../format/duration.ts';
import { degText, limitText, wholeDown } from '../../format/temperature.ts';
import type { GlyphName } from '../../glyph.tsx';
import { VERB_WORDS, brokenText, holdWord, onTimeText } from '../../words.ts';
import { HORIZON_MIN } from './axis.ts';
import { FRESH_MS } from '../../probe-words.ts';
import { doubtOf, valueDoubtOf } from '../../standing-words.ts';
import type { ValueDoubt } from '../../standing-words.ts';
import { clockNumber, foodRange, holdNumber } from './numbers.ts';
import type { NumberMemory } from './numbers.ts';

/** plain < outlined < filled, with hue on top: what the frame of a row's cell tells. */
export type Frame = 'plain' | 'do' | 'watch' | 'unsafe' | 'seen' | 'shelved' | 'returned' | 'lost' | 'second';
export type LaneKind = 'forecast' | 'ghost' | 'stub' | 'empty';
export type RowView = {
  frame: Frame;
  temp: string;
  isTempStruck: boolean;
  /** The big number: text, or a glyph where there is none. */
  number: string;
  glyph: GlyphName | null;
  /** Small word before the number. */
  before: string;
  unit: string;
  /** Said small beside the temperature: the probe failed or never had its check, or the value itself is suspect. */
  doubt: ValueDoubt | null;
  say: string;
  isSayStrong: boolean;
  lane: LaneKind;
  isGroundDashed: boolean;
};
export type RowContext = {
  nowMs: number;
  timeZone: string;
  memory: NumberMemory | undefined;
  isLinkLost: boolean;
};

const GHOST_MS = 10 * MINUTE_MS;
const ENOUGH_ON_TIME = 9;
const LONG_MIN = 100;

/** What a row shows. Pure; every state of the board has its words here. */
export function rowView(row: Row, context: RowContext): RowView {
  const doubt = row.state === 'off' ? null : valueDoubtOf(row);
  const plain = { ...BLANK, doubt, temp: tempText(row), ...forecastNumber(row, context) };
  const isLost = context.isLinkLost && row.state !== 'off';
  if (isLost) return lost(row, context, plain);
  const view = viewByState(row, context, plain);
  return isStale(row, context.nowMs) && row.state !== 'off' ? { ...view, ...oldTemp(row) } : view;
}

const OFF_FIRE: readonly Row['state'][] = ['waiting', 'resting', 'off'];

/** Off the fire no state says that a probe fell silent: what it read last must not stand there as if it were now. */
export function isStale({ state, sensorId, tempC, lastReadingMs }: Row, nowMs: number): boolean {
  if (!OFF_FIRE.includes(state) || sensorId === null) return false;
  if (tempC === null || lastReadingMs === null) return true;
  return !(nowMs - lastReadingMs <= FRESH_MS);
}

function oldTemp(row: Row): Part {
  return row.tempC === null ? {} : { temp: lastTemp(row), isTempStruck: true, doubt: doubtOf(row.probe) };
}

function viewByState(row: Row, context: RowContext, plain: RowView): RowView {
  switch (row.state) {
    case 'waiting':
      return { ...plain, ...waiting(row, context) };
    case 'forecast':
    case 'unsure':
      return { ...plain, lane: 'forecast', ...lateWords(row) };
    case 'by-clock':
      return { ...plain, lane: 'forecast', ...byClock(row, context), ...lateWords(row) };
    case 'learning':
      return { ...plain, ...NO_NUMBER, number: '–', say: learningText(row), isGroundDashed: true };
    case 'stalled':
      return { ...plain, ...NO_NUMBER, ...stalled(row, context) };
    case 'ready':
      return { ...plain, ...NO_NUMBER, frame: 'do', number: 'now', say: readyText(row) };
    case 'overdue':
      return { ...plain, frame: 'do', ...overdue(row, context) };
    case 'resting':
      return { ...plain, ...NO_NUMBER, ...resting(row, context) };
    case 'silent':
    case 'probe-out':
      return lost(row, context, plain);
    case 'holding':
      return { ...plain, lane: 'forecast' };
    case 'watch':
      return { ...plain, frame: 'watch', lane: 'forecast', ...watched(row, context) };
    case 'returned':
      return { ...plain, frame: 'returned', lane: 'forecast' };
    case 'unsafe':
      return { ...plain, ...broken(row, context), frame: 'unsafe' };
    case 'acknowledged':
      return { ...plain, ...broken(row, context), frame: 'seen', say: seenText(row, context) };
    case 'shelved':
      return { ...plain, ...broken(row, context), frame: 'shelved', say: 'quiet for a while' };
    case 'off':
      return { ...plain, ...NO_NUMBER, ...gone(row, context) };
  }
}

const NO_NUMBER = { number: '', unit: '', before: '' } as const;
const BLANK: RowView = {
  ...NO_NUMBER,
  frame: 'plain',
  temp: '',
  isTempStruck: false,
  glyph: null,
  doubt: null,
  say: '',
  isSayStrong: false,
  lane: 'empty',
  isGroundDashed: false,
};

export function isHold(row: Pick<Row, 'kind'>): boolean {
  return row.kind === 'cold' || row.kind === 'hot';
}

function tempText(row: Row): string {
  if (row.kind === 'clock' || (row.basis === 'clock' && row.tempC === null)) return 'by clock';
  const mark = suspectMark(row);
  if (row.kind === 'hot') return row.tempC === null ? '–' : `${wholeDown(row.tempC)}°${mark}`;
  if (row.kind === 'cold') return `${degText(row.tempC)}${mark}`;
  const core = wholeDown(row.tempC);
  if (row.targetC === null || row.state === 'resting' || row.state === 'off')
    return core === '–' ? core : `${core}°${mark}`;
  return `${core}${mark} › ${limitText(row.targetC)}`;
}

/** A value that is believed in the alarming direction only never stands there plain. */
export function suspectMark({ tempC, suspect }: Pick<Row, 'tempC' | 'suspect'>): string {
  return suspect && tempC !== null ? '?' : '';
}

type Part = Partial<RowView>;

function forecastNumber(row: Row, { nowMs, memory }: RowContext): Part {
  if (row.quantilesMs === null || memory === undefined) return { number: '–', unit: '', say: row.why ?? '' };
  const left = (atMs: number | null): number | null => (atMs === null ? null : minutesBetween(nowMs, atMs));
  if (isHold(row)) return { number: holdNumber(left(memory.lowMs)).text, unit: `min ${holdWord(row.kind)}` };
  const range = foodRange(left(memory.lowMs), left(memory.highMs));
  if (range === null) return { number: '–', unit: '', say: 'may never get there' };
  return { number: range.text, unit: range.unit };
}

function lateWords({ onTimeOf10 }: Row): Part {
  if (onTimeOf10 === null || onTimeOf10 >= ENOUGH_ON_TIME) return {};
  return { say: onTimeText(onTimeOf10), isSayStrong: true };
}

function waiting(row: Row, { nowMs, timeZone }: RowContext): Part {
  const on = row.known.find(({ verb }) => verb === 'on' || verb === 'heat');
  if (on === undefined) return { ...NO_NUMBER, frame: 'second', number: '–', say: row.why ?? 'no time set' };
  const leftMin = minutesBetween(nowMs, on.atMs);
  if (leftMin > HORIZON_MIN)
    return { frame: 'second', before: 'at', number: clockText(on.atMs, timeZone), unit: '' };
  return { frame: 'second', before: 'in', number: clockNumber(leftMin).text, unit: 'min', say: '' };
}

/** A cook without a probe has a forecast like any other; a dish by the clock has its take-off, never its turn. */
function byClock(row: Row, { nowMs }: RowContext): Part {
  if (row.quantilesMs !== null) return {};
  const off = row.known.find(({ verb }) => verb === 'off');
  if (off === undefined) return {};
  return { number: clockNumber(minutesBetween(nowMs, off.atMs)).text, unit: 'min', say: '' };
}

function learningText(row: Row): string {
  return row.learnMin === null ? (row.why ?? 'learning') : `learning, ${Math.ceil(row.learnMin)} min more`;
}

/** Outside its limit the row says so at once, also while the alarm still waits. */
function watched(row: Row, context: RowContext): Part {
  return row.outsideMs === null ? lateWords(row) : broken(row, context);
}

function stalled(row: Row, { nowMs, timeZone }: RowContext): Part {
  const since = row.sinceMs === null ? '' : ` since ${clockText(row.sinceMs, timeZone)}`;
  return { number: '', glyph: 'stall', unit: sinceSpan(row, nowMs), say: `stalled${since}, no forecast` };
}

function readyText(row: Row): string {
  return VERB_WORDS[row.known[0]?.verb ?? 'off'].toLowerCase();
}

function overdue(row: Row, { nowMs }: RowContext): Part {
  const late = row.sinceMs === null ? '' : `+${Math.max(0, Math.floor(minutesBetween(row.sinceMs, nowMs)))}`;
  const pastC = row.tempC === null || row.targetC === null ? 0 : Math.floor(row.tempC - row.targetC);
  const say = pastC > 0 ? `${pastC}° past target` : readyText(row);
  return { number: late === '' ? 'late' : late, unit: late === '' ? '' : 'min late', say };
}

function resting(row: Row, { nowMs }: RowContext): Part {
  const serve = row.known.find(({ verb }) => verb === 'serve')?.atMs ?? row.serveAtMs;
  const unit = serve === null ? '' : shortSpan(minutesBetween(nowMs, serve));
  return { number: '', glyph: 'rest', unit, say: '' };
}

function broken(row: Row, { nowMs, timeZone }: RowContext): Part {
  const word = row.limit?.kind === 'max' ? 'over' : row.limit?.kind === 'min' ? 'under' : 'short';
  const since = row.sinceMs === null ? '' : ` since ${clockText(row.sinceMs, timeZone)}`;
  const overMs = outsideNowMs(row, nowMs);
  const say = `${brokenText(row.limit)}${since}`;
  if (overMs === null) {
    // No excursion is running: the alarm stands, but the newest temperature is not outside any more.
    const isOver = row.state === 'unsafe' || word === 'short';
    return { number: '', glyph: 'unsafe', unit: isOver ? word : `was ${word}`, say, lane: 'stub' };
  }
  return { number: String(Math.floor(overMs / MINUTE_MS)), unit: `min ${word}`, say, lane: 'stub' };
}

/** Time outside the limit in this excursion, counted by the server; null when it is not known. */
function outsideNowMs(row: Row, nowMs: number): number | null {
  if (row.outsideMs !== null) return row.outsideMs;
  return row.sinceMs === null ? null : Math.max(0, nowMs - row.sinceMs);
}

function seenText(row: Row, { timeZone }: RowContext): string {
  return row.seenMs === null ? 'seen' : `seen ${clockText(row.seenMs, timeZone)}`;
}

function gone(row: Row, { timeZone }: RowContext): Part {
  const temp = row.sinceMs === null ? '' : clockText(row.sinceMs, timeZone);
  return { frame: 'second', temp, glyph: 'seen', number: '' };
}

function lost(row: Row, context: RowContext, plain: RowView): RowView {
  const isOut = row.state === 'probe-out' && !context.isLinkLost;
  const silentMs = row.lastReadingMs === null ? null : context.nowMs - row.lastReadingMs;
  const isGhost =
    !isOut && silentMs !== null && silentMs < GHOST_MS && (context.memory?.quantilesMs ?? null) !== null;
  return {
    ...plain,
    frame: 'lost',
    temp: lastTemp(row),
    isTempStruck: row.tempC !== null,
    doubt: doubtOf(row.probe),
    before: '',
    number: isOut ? '' : '?',
    glyph: isOut ? 'lost' : null,
    unit: isOut || silentMs === null ? '' : `${shortSpan(silentMs / MINUTE_MS)} old`,
    say: isOut ? outText(row) : silentText(row, context),
    isSayStrong: false,
    lane: isGhost ? 'ghost' : 'empty',
    isGroundDashed: true,
  };
}

function lastTemp(row: Row): string {
  if (row.tempC === null) return row.kind === 'clock' ? 'by clock' : '';
  return isHold(row) ? tempText({ ...row, suspect: false }) : `${wholeDown(row.tempC)}°`;
}

function outText(row: Row): string {
  const { fell } = row;
  const isOut = isHold(row)
    ? `Probe out of ${row.kind === 'cold' ? 'the bag' : 'the pot'}?`
    : 'Probe out of the food?';
  if (fell === null) return isOut;
  const spanMin = Math.max(1, Math.round(fell.inMs / MINUTE_MS));
  const moved = fell.byC < 0 ? 'rose' : 'fell';
  return `${moved} ${Math.round(Math.abs(fell.byC))}° in ${spanMin} min. ${isOut}`;
}

function silentText(row: Row, { timeZone, isLinkLost }: RowContext): string {
  if (isLinkLost && row.state !== 'silent') return '';
  if (row.sensorId === null) return 'no probe';
  if (row.why !== null && row.state === 'silent') return row.why;
  if (row.lastReadingMs === null) return 'no reading yet';
  return `silent since ${clockText(row.lastReadingMs, timeZone)}`;
}

function sinceSpan({ sinceMs }: Row, nowMs: number): string {
  return sinceMs === null ? '' : shortSpan(minutesBetween(sinceMs, nowMs));
}

/** Fits beside the number: "14 min", beyond 100 min whole hours. */
function shortSpan(spanMin: number): string {
  if (spanMin < 1) return `${Math.max(0, Math.floor(spanMin * 60))} s`;
  const whole = Math.max(0, Math.floor(spanMin));
  return whole < LONG_MIN ? `${whole} min` : `${Math.floor(whole / 60)} h`;
}
