import { describe, expect, it } from 'vitest';
import { heard, rulesOf } from './rules.ts';

describe('SenML on a topic of a rule', () => {
  const pack = '[{"bn":"bag-1","u":"Cel","v":4.5},{"u":"%EL","v":80}]';

  it('is read as on the built-in topics', () => {
    const rules = rulesOf({ filter: 'gate/+', format: 'senml-json' });
    expect(heard(rules, { topic: 'gate/a', payload: pack })).toMatchObject({
      readings: [{ sensorId: 'bag-1', tempC: 4.5 }],
      sides: [{ sensorId: 'bag-1', quantity: 'battery', value: 80 }],
      rejects: [],
    });
  });

  it('takes the sensor of the rule for records without a name', () => {
    const rules = rulesOf({ filter: 'gate/+', format: 'senml-json', sensor: { from: 'topic', level: 1 } });
    expect(heard(rules, { topic: 'gate/a', payload: '[{"u":"Cel","v":4.5}]' }).readings[0]?.sensorId).toBe(
      'a',
    );
  });

  // written by hand: RFC 8949 heads, labels of RFC 8428 section 6 (n = 0, u = 1, v = 2); [{n: "a", u: "Cel", v: 4.5}]
  it('is read in CBOR', () => {
    const bytes = Uint8Array.of(
      0x81,
      0xa3,
      0x00,
      0x61,
      0x61,
      0x01,
      0x63,
      0x43,
      0x65,
      0x6c,
      0x02,
      0xf9,
      0x44,
      0x80,
    );
    const rules = rulesOf({ filter: 'gate/+', format: 'senml-cbor' });
    expect(heard(rules, { topic: 'gate/a', payload: bytes }).readings).toMatchObject([
      { sensorId: 'a', tempC: 4.5 },
    ]);
  });

  it.each(['63.5', '{"v":1}', 'x', '[1]'])('is refused when it is none: %s', (payload) => {
    for (const format of ['senml-json', 'senml-cbor']) {
      const { readings, rejects } = heard(rulesOf({ filter: 'gate/+', format }), {
        topic: 'gate/a',
        payload,
      });
      expect(readings).toEqual([]);
      expect(rejects).toHaveLength(1);
    }
  });
});
