import type { Row } from '../../../server/contract/board.ts';
import { clockText } from '../../format/clock.ts';
import { agoText } from '../../format/duration.ts';
import { STANDING_WORDS } from '../../standing-words.ts';
import { degText, limitText } from '../../format/temperature.ts';
import { STATUS_WORDS, brokenText, onTimeText } from '../../words.ts';
import { isHold, isStale, suspectMark } from '../live/row-view.ts';

export type Fact = { label: string; text: string; note: string };
export type FactContext = {
  row: Row;
  nowMs: number;
  timeZone: string;
  slopeCPerMin: number | null;
  isLost: boolean;
};

const STEADY_C_PER_MIN = 0.02;
const SOURCE_STATUS = {
  read: '',
  'read-second-hand': ', read in a page that quotes it',
  memory: ', from memory',
} as const;

/** What is known of a row, one line each; what is not known is left out or said to be unknown. */
export function factsOf(context: FactContext): Fact[] {
  const { row, timeZone } = context;
  return [
    nowFact(context),
    ...(row.probe === null ? [] : [fact('Probe', STANDING_WORDS[row.probe])]),
    ...(row.targetC === null ? [] : [fact('Take off at', limitText(row.targetC))]),
    limitFact(row.limit),
    ...slopeFacts(context),
    ...(row.gateMs === null ? [] : [fact('Latest take-off', clockText(row.gateMs, timeZone))]),
    ...(row.restMin > 0 ? [fact('Rest', `${row.restMin} min`)] : []),
    ...(row.status === null ? [] : [fact('Where it is', STATUS_WORDS[row.status])]),
  ];
}

/** The newest reading with its age; what is too old to be now is a dash. */
function nowFact({ row, nowMs, isLost }: FactContext): Fact {
  const age = row.lastReadingMs === null ? 'no reading' : agoText(nowMs - row.lastReadingMs);
  if (isLost) return fact('Last read', `${degText(row.tempC)}, ${age}`);
  if (isStale(row, nowMs)) return fact('Now', `–, ${age}`);
  const mark = suspectMark(row);
  return fact('Now', `${degText(row.tempC)}${mark}${mark === '' ? '' : ' suspect'}, ${age}`);
}

/** The number with the source it was read in, together so that neither is lost. */
function limitFact(limit: Row['limit']): Fact {
  if (limit === null) return fact('Limit', 'none set');
  return fact('Limit', limit.text, `${limit.source}${SOURCE_STATUS[limit.status]}`);
}

function slopeFacts({ row, nowMs, isLost, slopeCPerMin }: FactContext): Fact[] {
  if (isLost) return [];
  if (isStale(row, nowMs)) return [fact('Rising', '–')];
  return slopeCPerMin === null ? [] : [slopeFact(slopeCPerMin)];
}

function fact(label: string, text: string, note = ''): Fact {
  return { label, text, note };
}

/** "Rising 1° in 6 min", "Falling 4° in 1 min", "Steady". */
export function slopeFact(slopeCPerMin: number): Fact {
  const speed = Math.abs(slopeCPerMin);
  if (!(speed >= STEADY_C_PER_MIN)) return fact('Rising', 'no, steady');
  const text = speed >= 1 ? `${Math.round(speed)}° in 1 min` : `1° in ${Math.round(1 / speed)} min`;
  return fact(slopeCPerMin > 0 ? 'Rising' : 'Falling', text);
}

/** The line under the big number. */
export function leadText(row: Row, timeZone: string): string {
  if (row.onTimeOf10 !== null && row.serveAtMs !== null) {
    return `${onTimeText(row.onTimeOf10)} for ${clockText(row.serveAtMs, timeZone)}`;
  }
  if (isHold(row) && row.limit !== null) return `until ${brokenText(row.limit)}`;
  return row.why ?? '';
}
