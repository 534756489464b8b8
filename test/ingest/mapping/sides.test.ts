import { describe, expect, it } from 'vitest';
import { heard, NOW_MS, rulesOf } from './rules.ts';

/** A rule for JSON on the topic `box`, its sensor called `one`. */
function oneRule(changes: object) {
  return rulesOf({ filter: 'box', sensor: { from: 'const', value: 'one' }, ...changes });
}

describe('numbers beside the temperature', () => {
  it.each([
    [
      { at: '/h', quantity: 'humidity', unit: '%RH' },
      { h: '40' },
      { quantity: 'humidity', value: 40, unit: '%RH' },
    ],
    [
      { at: '/b', quantity: 'voltage', unit: 'V', num: { scale: 0.001 } },
      { b: 3_100 },
      { quantity: 'voltage', value: 3.1, unit: 'V' },
    ],
    [
      { at: '/s', quantity: 'signal', unit: 'dBm' },
      { s: -70 },
      { quantity: 'signal', value: -70, unit: 'dBm' },
    ],
  ])('are kept with their unit: %j', (value, payload, side) => {
    expect(heard(oneRule({ values: [value] }), { topic: 'box', payload })).toMatchObject({
      readings: [],
      sides: [{ sensorId: 'one', ...side, atMs: NOW_MS }],
      rejects: [],
    });
  });

  it('have the moment of arrival when the device counts from switching on', () => {
    const rules = oneRule({
      time: { as: 'uptime-ms', at: '/up' },
      values: [{ at: '/h', quantity: 'humidity', unit: '%RH' }],
    });
    expect(heard(rules, { topic: 'box', payload: { up: 5_000, h: 40 } }).sides[0]?.atMs).toBe(NOW_MS);
  });

  it.each([
    ['out-of-range', { b: 130 }],
    ['no-value', {}],
    ['no-value', { b: null }],
    ['not-a-number', { b: 'low' }],
  ])('that are none are told as %s when there is nothing else: %j', (reason, payload) => {
    const rules = oneRule({ values: [{ at: '/b', quantity: 'battery', unit: '%EL' }] });
    expect(heard(rules, { topic: 'box', payload }).rejects.map((r) => r.reason)).toEqual([reason]);
  });

  it('that are not in every message are not missed beside a temperature', () => {
    const rules = oneRule({
      values: [
        { at: '/t', quantity: 'temperature', unit: 'Cel' },
        { at: '/b', quantity: 'battery', unit: '%EL' },
      ],
    });
    expect(heard(rules, { topic: 'box', payload: { t: 5 } }).rejects).toEqual([]);
  });
});
