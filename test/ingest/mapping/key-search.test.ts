import { describe, expect, it } from 'vitest';
import { heard, rulesOf } from './rules.ts';

const each = (...patterns: string[]) =>
  rulesOf({
    filter: 'box',
    maxBytes: 65_536,
    sensor: { from: 'key' },
    values: patterns.map((eachKey) => ({ at: '', eachKey, quantity: 'temperature', unit: 'Cel' })),
  });
/** Of five times: a busy machine makes some of them slow. */
function quickestMs(work: () => void): number {
  const took = Array.from({ length: 5 }, () => {
    const startMs = performance.now();
    work();
    return performance.now() - startMs;
  });
  return Math.min(...took);
}
const members = (count: number, nameOf: (n: number) => string): Record<string, number> =>
  Object.fromEntries(Array.from({ length: count }, (_, n) => [nameOf(n), n]));

describe('the search for the members that an expression chooses', () => {
  it.each([
    ['two repeats', ['.*.*x']],
    ['alternatives', [`${'(?:a|a)'.repeat(6)}.*x`]],
    ['many values', Array.from({ length: 16 }, () => '[a-z]*[a-z]*x')],
  ])('holds one message up for no longer than some milliseconds: %s', (_what, patterns) => {
    const payload = members(240, (n) => `${'a'.repeat(60)}${n}`);
    const rules = each(...patterns);
    const { readings, rejects } = heard(rules, { topic: 'box', payload });
    expect(quickestMs(() => heard(rules, { topic: 'box', payload }))).toBeLessThan(40);
    expect(readings).toEqual([]);
    expect(rejects).toMatchObject([{ reason: 'too-many-sensors' }]);
    expect(rejects[0]?.detail).toContain('240 members are too many to search');
  });

  it('finds all of any device, also in many members and by several values', () => {
    const payload = members(256, (n) => (n < 60 ? `channel_${n}_temp` : `setting_of_${n}`));
    const rules = each('^channel_[0-4]?[0-9]_temp$', '^channel_5[0-9]+_temp$', '^never_[a-z]+_[0-9]+$');
    const { readings } = heard(rules, { topic: 'box', payload });
    expect(readings).toHaveLength(60);
    expect(readings[59]).toMatchObject({ sensorId: 'channel_59_temp', tempC: 59 });
  });

  it('passes names by that are longer than any of a channel', () => {
    const payload = { [`ch${'1'.repeat(62)}`]: 1, [`ch${'1'.repeat(63)}`]: 2 };
    expect(heard(each('^ch'), { topic: 'box', payload }).readings.map((r) => r.tempC)).toEqual([1]);
  });
});
