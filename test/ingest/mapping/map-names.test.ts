import { describe, expect, it } from 'vitest';
import { CELSIUS, heard, oneValue, rulesOf } from './rules.ts';

/* The vectors MAP-1 to MAP-11 are ours; MAP-12 is in test/contract/mapping.test.ts. 145.4 degF = 63 degC and
   277.65 K = 4.5 degC by NIST SP 811 (2008) B.8 and the SI Brochure, 9th ed. (2019). */
describe('the name of a sensor', () => {
  const value = { ...CELSIUS, at: '/t' };

  it('has dashes for its blanks', () => {
    const rules = rulesOf({ filter: 'yard/+', sensor: { from: 'topic', level: 1 }, values: [value] });
    expect(heard(rules, { topic: 'yard/ Left  side ', payload: { t: 5 } }).readings[0]?.sensorId).toBe(
      'Left-side',
    );
  });

  it.each(['yard/<b>', 'yard/', 'yard/ ', `yard/${'x'.repeat(129)}`, 'yard/Hähnchen'])(
    'is refused where no sensor can be called so: %s',
    (topic) => {
      const rules = rulesOf({ filter: 'yard/+', sensor: { from: 'topic', level: 1 }, values: [value] });
      const { readings, rejects } = heard(rules, { topic, payload: { t: 5 } });
      expect(readings).toEqual([]);
      expect(rejects.map((r) => r.reason)).toEqual(['bad-name']);
    },
  );

  it('may be a number in the payload', () => {
    const rules = rulesOf({ filter: 'box', sensor: { from: 'json', at: '/id' }, values: [value] });
    expect(heard(rules, { topic: 'box', payload: { id: 7, t: 5 } }).readings[0]?.sensorId).toBe('7');
    expect(heard(rules, { topic: 'box', payload: { t: 5 } }).rejects).toMatchObject([
      { reason: 'bad-name', detail: 'no name of the sensor: nothing at /id' },
    ]);
  });

  it('may be a user property of the message (MQTT 5), the first of several', () => {
    const rules = rulesOf({ filter: 'box', sensor: { from: 'prop', name: 'probe' }, values: [value] });
    const sent = { topic: 'box', payload: { t: 5 } };
    expect(heard(rules, { ...sent, userProperties: { probe: 'left' } }).readings[0]?.sensorId).toBe('left');
    expect(
      heard(rules, { ...sent, userProperties: { probe: ['right', 'left'] } }).readings[0]?.sensorId,
    ).toBe('right');
    expect(heard(rules, sent).rejects).toMatchObject([{ reason: 'bad-name' }]);
    const inherited = rulesOf({ filter: 'box', sensor: { from: 'prop', name: 'toString' }, values: [value] });
    expect(heard(inherited, sent).rejects).toMatchObject([{ reason: 'bad-name' }]);
  });

  it('may be a key, with the number inside of its member and the unit beside it', () => {
    const rules = rulesOf({
      filter: 'hub',
      sensor: { from: 'key' },
      values: [
        {
          eachKey: '^28-',
          below: '/Temperature',
          quantity: 'temperature',
          unit: { from: 'json', at: '/TempUnit', map: { C: 'Cel', F: 'degF' } },
        },
      ],
    });
    const payload = {
      '28-0a': { Temperature: 145.4 },
      '28-0b': { Temperature: 41 },
      '28-0c': { Temperature: null },
      '28-0d': {},
      TempUnit: 'F',
    };
    const { readings, unplugged, rejects } = heard(rules, { topic: 'hub', payload });
    expect(readings.map((r) => [r.sensorId, r.tempC])).toEqual([
      ['28-0a', 63],
      ['28-0b', 5],
    ]);
    expect(unplugged.map((u) => u.sensorId)).toEqual(['28-0c']);
    expect(rejects).toMatchObject([{ reason: 'no-value', detail: 'nothing at /28-0d/Temperature' }]);
  });

  it('may be inside of each member of a list', () => {
    const rules = rulesOf({
      filter: 'hub',
      sensor: { from: 'member', at: '/id' },
      values: [{ ...CELSIUS, eachKey: '.', below: '/t' }],
    });
    const payload = [{ id: 'a', t: 63.5 }, { id: 'b', t: 4.4 }, { t: 5 }, 7];
    const { readings, rejects } = heard(rules, { topic: 'hub', payload });
    expect(readings.map((r) => [r.sensorId, r.tempC])).toEqual([
      ['a', 63.5],
      ['b', 4.4],
    ]);
    expect(rejects.map((r) => r.reason).sort()).toEqual(['bad-name', 'no-value']);
  });

  it('is the place in a list when the list is only numbers', () => {
    const { readings, unplugged } = heard(oneValue({ at: '/probes', eachKey: '^[0-9]+$' }), {
      topic: 'box',
      payload: { probes: [63.5, null] },
    });
    expect(readings.map((r) => [r.sensorId, r.tempC])).toEqual([['one.0', 63.5]]);
    expect(unplugged.map((u) => u.sensorId)).toEqual(['one.1']);
  });

  it('is heard once a message', () => {
    const rules = rulesOf({
      filter: 'hub',
      sensor: { from: 'member', at: '/id' },
      values: [{ ...CELSIUS, eachKey: '.', below: '/t' }],
    });
    const { readings, rejects } = heard(rules, {
      topic: 'hub',
      payload: [
        { id: 'a', t: 1 },
        { id: 'a', t: 2 },
      ],
    });
    expect(readings.map((r) => r.tempC)).toEqual([1]);
    expect(rejects).toMatchObject([{ reason: 'bad-name', detail: 'a twice in one message' }]);
  });
});
