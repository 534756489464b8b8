import type { MappingTryAnswer } from '../../contract/mapping-api.ts';
import { reasonNames } from '../../contract/reading.ts';
import { understand } from '../understand.ts';
import type { RuleSet } from './rule-set.ts';

/** What would come of a message, for a person who makes a rule. */
export function tryMapping(
  sample: { topic: string; payload: Uint8Array; receivedMs: number },
  rules: RuleSet,
): MappingTryAnswer {
  const { readings, sides, unplugged, rejects } = understand({ ...sample, retained: false }, rules);
  return {
    ruleId: rules.ruleFor(sample.topic)?.rule.id ?? null,
    readings: readings.map(({ sensorId, tempC, atMs, timeSource, quality, reasons }) => ({
      sensorId,
      tempC,
      atMs,
      timeSource,
      quality,
      reasons: reasonNames(reasons),
    })),
    sides: sides.map(({ sensorId, quantity, value, unit }) => ({ sensorId, quantity, value, unit })),
    unplugged: unplugged.map(({ sensorId }) => sensorId),
    rejects: rejects.map(({ reason, detail }) => ({ reason, detail })),
  };
}
