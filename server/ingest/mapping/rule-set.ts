import type { Mapping, Rule } from '../../contract/mapping.ts';
import { pointerNames } from './json-pointer.ts';
import { topicMatches } from './topic-match.ts';

type ValueSpec = Rule['values'][number];
/** A value of a rule with its expressions and pointers taken apart once. */
export type ReadyValue = {
  spec: ValueSpec;
  at: string[];
  below: string[];
  eachKey: RegExp | null;
  unitAt: string[] | null;
  coldJunctionAt: string[] | null;
};
/** A rule that is ready to be used on messages. */
export type ReadyRule = {
  rule: Rule;
  values: ReadyValue[];
  timeAt: string[];
  qualityAt: string[] | null;
  /** Of a sensor name that is in the payload. */
  sensorAt: string[];
};

/** How many topics are remembered with their rule; far more than a cookout has. */
const TOPICS_KNOWN = 2_000;

export function readyRule(rule: Rule): ReadyRule {
  const { sensor, time, quality } = rule;
  return {
    rule,
    values: rule.values.map((spec) => ({
      spec,
      at: pointerNames(spec.at),
      below: pointerNames(spec.below),
      eachKey: spec.eachKey === undefined ? null : new RegExp(spec.eachKey, 'u'),
      unitAt: typeof spec.unit === 'string' ? null : pointerNames(spec.unit.at),
      coldJunctionAt: spec.coldJunction?.from === 'json' ? pointerNames(spec.coldJunction.at) : null,
    })),
    timeAt: time.as === 'arrival' ? [] : pointerNames(time.at),
    qualityAt: quality ? pointerNames(quality.at) : null,
    sensorAt: sensor?.from === 'json' || sensor?.from === 'member' ? pointerNames(sensor.at) : [],
  };
}

/** The rules of a mapping, ready to be used; the first whose filter matches a topic counts. */
export class RuleSet {
  private readonly rules: ReadyRule[];
  private readonly byTopic = new Map<string, ReadyRule | null>();

  constructor(mapping: Mapping) {
    this.rules = mapping.rules.map(readyRule);
  }

  ruleFor(topic: string): ReadyRule | null {
    if (this.rules.length === 0) return null;
    const known = this.byTopic.get(topic);
    if (known !== undefined) return known;
    const found = this.rules.find(({ rule }) => topicMatches(rule.filter, topic)) ?? null;
    if (this.byTopic.size >= TOPICS_KNOWN) this.byTopic.clear();
    this.byTopic.set(topic, found);
    return found;
  }
}
