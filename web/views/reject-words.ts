import { REJECT_REASONS } from '../../server/contract/reading.ts';
import type { RejectReason } from '../../server/contract/reading.ts';

const WORDS: Record<RejectReason, string> = {
  empty: 'Nothing in it',
  'too-large': 'Too long',
  'not-a-number': 'Not a number',
  'not-finite': 'Not a finite number',
  'wrong-json-type': 'JSON of another shape',
  'unknown-unit': 'A unit nobody knows',
  'bad-time': 'A time that cannot be right',
  'bad-name': 'A name that cannot be used',
  'bad-senml': 'SenML that breaks its own rules',
  'not-a-temperature': 'Not a temperature',
  'out-of-range': 'Hotter or colder than anything here',
  'unknown-topic': 'A topic nobody reads',
  'too-deep': 'JSON nested too deep',
  'too-many-sensors': 'More probes than one sender may have',
  'no-value': 'No value where the rule looks for it',
};

export function rejectWords(reason: string): string {
  const known = REJECT_REASONS.find((one) => one === reason);
  return known === undefined ? reason : WORDS[known];
}

const WRONG_TYPE = /^(?:(\S+): )?Invalid input: expected ([a-z]+), received ([a-z]+)$/;
const TYPE_WORDS: Readonly<Record<string, string>> = {
  null: 'nothing (null)',
  undefined: 'missing',
  string: 'a text',
  number: 'a number',
  boolean: 'yes or no',
  array: 'a list',
  object: 'an object',
};

/** The detail of a reject without the words of a program: "value is nothing (null), where a number belongs". */
export function detailWords(detail: string): string {
  const [, place, expected = '', received = ''] = WRONG_TYPE.exec(detail) ?? [];
  const [wanted, there] = [TYPE_WORDS[expected], TYPE_WORDS[received]];
  if (wanted === undefined || there === undefined) return detail;
  return `${place ?? 'it'} is ${there}, where ${wanted} belongs`;
}
