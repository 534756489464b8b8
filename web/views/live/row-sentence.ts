import type { Row } from '../../../server/contract/board.ts';
import { degText, limitText, wholeDown } from '../../format/temperature.ts';
import { VERB_WORDS, brokenText, holdWord, onTimeText } from '../../words.ts';
import { STANDING_WORDS, doubtOf } from '../../standing-words.ts';
import { isHold } from './row-view.ts';
import type { RowView } from './row-view.ts';

/** The one sentence that a screen reader says for a row; it tells what the row shows, in whole words. */
export function rowSentence(row: Row, view: RowView): string {
  const doubt = row.state === 'off' ? null : doubtOf(row.probe);
  const parts = [
    `${row.full}${row.tag === null ? '' : `, ${row.tag}`}`,
    tempPart(row, view),
    ...statePart(row, view),
    isSuspectShown(row, view) ? 'suspect value' : '',
    doubt === null ? '' : `its probe ${STANDING_WORDS[doubt]}`,
  ];
  return `${parts.filter((part) => part !== '').join(', ')}.`;
}

function isSuspectShown({ suspect, tempC, state }: Row, { isTempStruck }: RowView): boolean {
  return suspect && tempC !== null && !isTempStruck && state !== 'off';
}

function tempPart(row: Row, view: RowView): string {
  if (view.temp === 'by clock') return 'by the clock';
  if (row.tempC === null || row.state === 'off') return '';
  const value = isHold(row) ? degText(row.tempC).replace('°', '') : wholeDown(row.tempC);
  if (view.isTempStruck) return `last read ${value} degrees`;
  if (isHold(row))
    return `${value} degrees${row.limit === null ? '' : `, limit ${spoken(limitText(row.limit.valueC))}`}`;
  return row.targetC === null || row.state === 'resting'
    ? `${value} degrees`
    : `${value} of ${spoken(limitText(row.targetC)).replace(' degrees', '')} degrees`;
}

function statePart(row: Row, view: RowView): string[] {
  if (view.frame === 'lost') return ["can't tell", spoken(view.say)];
  switch (row.state) {
    case 'waiting':
      return [goesOn(view)];
    case 'by-clock':
      return byClockPart(row, view);
    case 'forecast':
    case 'unsure':
      return [readyIn(view), onTimePart(row)];
    case 'holding':
    case 'watch':
    case 'returned':
      return [...holdPart(row, view), returnedPart(row)];
    case 'ready':
      return [`${dueVerb(row)} now`];
    case 'overdue':
      return [spokenNumber(view).replace('+', ''), spoken(view.say)];
    case 'resting':
      return [restingPart(view)];
    case 'unsafe':
    case 'acknowledged':
    case 'shelved':
      return [brokenPart(row, view)];
    case 'off':
      return [`off since ${view.temp}`];
    case 'learning':
    case 'stalled':
    case 'silent':
    case 'probe-out':
      return [spoken(view.say)];
  }
}

function goesOn(view: RowView): string {
  return view.number === '–' ? 'no time set' : `goes on ${view.before} ${spokenNumber(view)}`;
}

function onTimePart({ onTimeOf10 }: Row): string {
  return onTimeOf10 === null ? '' : onTimeText(onTimeOf10);
}

function returnedPart({ state }: Row): string {
  return state === 'returned' ? 'back within its limit, not seen yet' : '';
}

function restingPart({ unit }: RowView): string {
  return unit === '' ? 'resting' : `resting, serve in ${spoken(unit)}`;
}

function dueVerb({ known }: Row): string {
  return VERB_WORDS[known[0]?.verb ?? 'off'].toLowerCase();
}

function readyIn(view: RowView): string {
  return view.number === '–' ? 'no forecast' : `ready in ${spokenNumber(view)}`;
}

function byClockPart(row: Row, view: RowView): string[] {
  return row.quantilesMs === null ? [takeOffIn(view)] : [readyIn(view), onTimePart(row)];
}

function takeOffIn(view: RowView): string {
  return view.number === '–' ? 'no time known' : `take off in ${spokenNumber(view)}`;
}

function holdPart(row: Row, view: RowView): string[] {
  if (row.state === 'watch' && row.outsideMs !== null)
    return [`${spoken(brokenText(row.limit))} for ${spoken(`${view.number} min`)}`];
  if (!isHold(row)) return [readyIn(view), spoken(view.say)];
  if (view.number === '–') return ['no forecast', spoken(view.say)];
  const word = row.state === 'watch' ? `, ${row.kind === 'hot' ? 'cooling' : 'warming'}` : '';
  return [`lasts at least ${view.number.replace('+', '')} minutes ${holdWord(row.kind)}${word}`];
}

function brokenPart(row: Row, view: RowView): string {
  const seen = row.state === 'unsafe' ? '' : `, ${view.say}`;
  const long = view.number === '' ? '' : ` for ${view.number} minutes`;
  return `${spoken(brokenText(row.limit))}${long}${seen}`;
}

function spokenNumber({ number, unit }: RowView): string {
  const words = number.replace('–', ' to ').replace(/(\d+)\+$/, 'more than $1');
  return spoken(`${words} ${unit}`.trim());
}

function spoken(text: string): string {
  return text
    .replace(/°/g, ' degrees')
    .replace(/\b1 min\b/g, '1 minute')
    .replace(/\bmin\b/g, 'minutes')
    .replace(/\bh\b/g, 'hours')
    .replace(/[.?]$/, '');
}
