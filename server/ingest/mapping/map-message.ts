import { rejectOf, type Decoded, type Failure, type Message } from '../message.ts';
import { isJsonTooDeep, MAX_DEPTH } from '../json-depth.ts';
import { Gathering } from './gathering.ts';
import { pointedAt } from './json-pointer.ts';
import { KeySearch } from './key-search.ts';
import { momentOf, type Moment } from './moment.ts';
import type { ReadyRule } from './rule-set.ts';
import { fromSenmlCbor, fromSenmlJson } from './senml-rule.ts';
import { takeValue } from './take-value.ts';

/**
 * A message to what its rule finds in it. Never throws, whatever the bytes are.
 *
 * A reading has quality 1 unless the broker had kept it without a time of its own (3), its time field cannot be read (3),
 * the device itself says worse, its unit is not one of the rule's (4, the number as it came), no temperature has the value
 * or it is outside the rule's bounds (4), or its number stands for none (9).
 */
export function mapMessage(message: Message, ready: ReadyRule): Decoded {
  const { rule } = ready;
  if (message.retained && rule.retained === 'ignore') return of([]);
  const { payload } = message;
  if (payload.length === 0) return failed({ reason: 'empty', detail: 'no payload' }, message);
  if (payload.length > rule.maxBytes)
    return failed({ reason: 'too-large', detail: `${payload.length} bytes` }, message);
  switch (rule.format) {
    case 'number':
      return fromNumber(message, ready);
    case 'json':
      return fromJson(message, ready);
    case 'senml-json': {
      const pack = jsonOf(message);
      return 'reason' in pack ? failed(pack, message) : fromSenmlJson(pack.json, message, ready);
    }
    case 'senml-cbor':
      return fromSenmlCbor(message, ready);
  }
}

function failed(failure: Failure, message: Message): Decoded {
  return of([rejectOf(failure, message)]);
}

function of(rejects: Decoded['rejects']): Decoded {
  return { readings: [], sides: [], unplugged: [], rejects };
}

function fromNumber(message: Message, ready: ReadyRule): Decoded {
  const text = textOf(message.payload);
  if (text === null) return failed({ reason: 'not-a-number', detail: 'not text' }, message);
  if (text === '') return failed({ reason: 'empty', detail: 'only blanks' }, message);
  return mapped(text, message, ready);
}

function fromJson(message: Message, ready: ReadyRule): Decoded {
  const parsed = jsonOf(message);
  return 'reason' in parsed ? failed(parsed, message) : mapped(parsed.json, message, ready);
}

const utf8 = new TextDecoder('utf-8', { fatal: true });

function textOf(payload: Uint8Array): string | null {
  try {
    return utf8.decode(payload).trim();
  } catch {
    return null; // bytes that are not UTF-8: an expected kind of bad input
  }
}

function jsonOf({ payload }: Message): { json: unknown } | Failure {
  const text = textOf(payload);
  if (text === null) return { reason: 'not-a-number', detail: 'not text' };
  if (text === '') return { reason: 'empty', detail: 'only blanks' };
  if (isJsonTooDeep(text)) return { reason: 'too-deep', detail: `nested more than ${MAX_DEPTH} deep` };
  try {
    return { json: JSON.parse(text) };
  } catch {
    return { reason: 'not-a-number', detail: 'not JSON' };
  }
}

function mapped(root: unknown, message: Message, ready: ReadyRule): Decoded {
  const moment = momentIn(root, message, ready);
  const gathering = new Gathering(message, {
    moment: moment === 'unreadable' ? null : moment,
    isClockBad: moment === 'unreadable',
    deviceQuality: deviceQuality(root, ready),
  });
  const search = new KeySearch();
  for (const value of ready.values) takeValue({ value, ready, message, root, gathering, search });
  return gathering.result();
}

/** Null: the payload says nothing of when. */
function momentIn(
  root: unknown,
  { receivedMs }: Message,
  { rule, timeAt }: ReadyRule,
): Moment | null | 'unreadable' {
  if (rule.time.as === 'arrival') return null;
  const there = pointedAt(root, timeAt);
  if (there.kind !== 'found' || there.value === null) return null;
  return momentOf(rule.time, there.value, receivedMs) ?? 'unreadable';
}

/** What the device says of its reading; a word that the rule does not know is suspect, for unknown is never fine. */
function deviceQuality(root: unknown, { rule, qualityAt }: ReadyRule): 1 | 2 | 3 | 4 | 9 {
  if (!rule.quality || !qualityAt) return 1;
  const there = pointedAt(root, qualityAt);
  if (there.kind !== 'found' || there.value === null) return 1;
  const { value } = there;
  if (typeof value !== 'string' && typeof value !== 'number' && typeof value !== 'boolean') return 3;
  const word = String(value);
  return (Object.hasOwn(rule.quality.map, word) ? rule.quality.map[word] : undefined) ?? 3;
}
