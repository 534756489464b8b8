import { parseMapping } from '../../../server/contract/mapping-problems.ts';
import type { RuleSet } from '../../../server/ingest/mapping/rule-set.ts';
import { RuleSet as Rules } from '../../../server/ingest/mapping/rule-set.ts';
import type { Decoded } from '../../../server/ingest/message.ts';
import { understand } from '../../../server/ingest/understand.ts';

export const NOW_MS = 1_760_000_000_000;

/** Rules that are valid, or the test fails with what is wrong. */
export function rulesOf(...rules: object[]): RuleSet {
  const parsed = parseMapping({ version: 1, rules: rules.map((rule, i) => ({ id: `rule-${i}`, ...rule })) });
  if (!parsed.ok) throw new Error(JSON.stringify(parsed.problems));
  return new Rules(parsed.mapping);
}

export const CELSIUS = { quantity: 'temperature', unit: 'Cel' };

/** A rule for JSON on the topic `box`, its sensor called `one`. */
export function oneRule(changes: object) {
  return rulesOf({ filter: 'box', sensor: { from: 'const', value: 'one' }, ...changes });
}
export function oneValue(changes: object) {
  return oneRule({ values: [{ ...CELSIUS, at: '/t', ...changes }] });
}

type Sent = {
  topic: string;
  payload: unknown;
  retained?: boolean;
  userProperties?: Record<string, string | string[]>;
};

/** What comes of a message; a payload that is neither text nor bytes is sent as JSON. */
export function heard(
  rules: RuleSet,
  { topic, payload, retained = false, userProperties = {} }: Sent,
): Decoded {
  const text = typeof payload === 'string' ? payload : JSON.stringify(payload);
  const bytes = payload instanceof Uint8Array ? payload : new TextEncoder().encode(text);
  return understand({ topic, payload: bytes, receivedMs: NOW_MS, retained, userProperties }, rules);
}
