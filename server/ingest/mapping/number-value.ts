import type { RejectReason } from '../../contract/reading.ts';
import { numberOfText } from './number-text.ts';
import type { ReadyValue } from './rule-set.ts';

type ValueSpec = ReadyValue['spec'];
/** `unplugged`: the channel says that it has none. `sentinel`: a number that stands for none. */
export type Read =
  | { kind: 'number'; number: number }
  | { kind: 'sentinel'; number: number }
  | { kind: 'unplugged' }
  | { kind: 'bad'; reason: RejectReason; detail: string };

const SHOWN = 40;
/** How programs write that there is no number. */
const NO_NUMBER = /^[+-]?(nan|inf|infinity)$/i;

/** Whether a value that is there says that nothing is plugged in: null, an empty text, or no number in so many words. */
export function saysNothing(value: unknown): boolean {
  if (typeof value !== 'string') return value === null;
  const text = value.trim();
  return text === '' || NO_NUMBER.test(text);
}

/** What a value of a payload is: a number as it came, before scale and conversion, or why there is none. */
export function readNumber(value: unknown, { missing, num }: ValueSpec): Read {
  if (saysNothing(value)) return { kind: 'unplugged' };
  if (typeof value === 'number') {
    if (Number.isFinite(value)) return judged(value, missing);
    return { kind: 'bad', reason: 'not-finite', detail: 'too large for a number' }; // such as 1e999
  }
  if (typeof value !== 'string')
    return { kind: 'bad', reason: 'wrong-json-type', detail: `${kindOf(value)}, no number` };
  const text = value.trim();
  if (missing.includes(text)) return { kind: 'unplugged' };
  const number = numberOfText(text, num.decimal);
  if (number === null) return { kind: 'bad', reason: 'not-a-number', detail: text.slice(0, SHOWN) };
  return judged(number, missing);
}

function judged(number: number, missing: ValueSpec['missing']): Read {
  return missing.includes(number) ? { kind: 'sentinel', number } : { kind: 'number', number };
}

function kindOf(value: unknown): string {
  if (Array.isArray(value)) return 'a list';
  return typeof value === 'boolean' ? 'true or false' : 'an object';
}
