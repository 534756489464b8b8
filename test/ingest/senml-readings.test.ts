import { describe, expect, it } from 'vitest';
import { decode } from '../../server/ingest/decode.ts';
import type { Decoded } from '../../server/ingest/message.ts';
import { EXAMPLES } from '../reference/senml/packs.ts';

const NOW_MS = 1_760_000_000_000;

function heard(
  pack: unknown,
  { topic = 'tongside/senml', retained = false }: { topic?: string; retained?: boolean } = {},
): Decoded {
  const payload = new TextEncoder().encode(JSON.stringify(pack));
  return decode({ topic, payload, receivedMs: NOW_MS, retained });
}

const reasons = (decoded: Decoded) => decoded.rejects.map((r) => r.reason);
const exampleOf = (wanted: string) => EXAMPLES.find(({ section }) => section === wanted)!.pack;

describe('what SenML records become', () => {
  it('is a temperature for Cel and K, of the sensor with the resolved name', () => {
    const { readings, sides, rejects } = heard([
      { bn: 'box:', n: 'a', u: 'Cel', v: 4.5 },
      { n: 'b', u: 'K', v: 277.65 },
    ]);
    expect(readings.map((r) => [r.sensorId, r.tempC])).toEqual([
      ['box:a', 4.5],
      ['box:b', 4.5],
    ]);
    expect([sides, rejects]).toEqual([[], []]);
  });

  // units: RFC 8428 (2018) section 12.1, table 6
  it.each([
    ['%RH', 'humidity'],
    ['%EL', 'battery'],
    ['V', 'voltage'],
    ['Ohm', 'resistance'],
    ['dB', 'signal'],
    ['dBW', 'signal'],
  ])('is for %s the %s beside it', (unit, quantity) => {
    const { readings, sides, rejects } = heard([{ n: 'box:a', u: unit, v: 50, t: -2 }]);
    expect(sides).toEqual([
      { sensorId: 'box:a', quantity, value: 50, unit, atMs: NOW_MS - 2_000, receivedMs: NOW_MS },
    ]);
    expect([readings, rejects]).toEqual([[], []]);
  });

  it('keeps a temperature and a humidity of one name apart by their units', () => {
    const { readings, sides } = heard([
      { n: 'hall', u: 'Cel', v: 21 },
      { n: 'hall', u: '%RH', v: 40 },
    ]);
    expect(readings.map((r) => [r.sensorId, r.tempC])).toEqual([['hall', 21]]);
    expect(sides.map((s) => [s.sensorId, s.value])).toEqual([['hall', 40]]);
  });

  it('puts what has no name beside the temperature of the topic', () => {
    const { readings, sides } = heard([{ v: 63.5 }, { u: '%EL', v: 87 }, { n: 'yard', u: '%RH', v: 40 }], {
      topic: 'tongside/reading/left',
    });
    expect(readings.map((r) => r.sensorId)).toEqual(['left']);
    expect(sides.map((s) => [s.sensorId, s.quantity])).toEqual([
      ['left', 'battery'],
      ['yard', 'humidity'],
    ]);
  });

  it('is nothing of use for everything else, which one line says', () => {
    const decoded = heard([
      { n: 'a', u: 'A', v: 1 },
      { n: 'b', u: 'Cel', vs: 'warm' },
      { n: 'c', vb: true },
      { n: 'd', v: 63 },
      { n: 'e', u: 'degF', v: 145 },
    ]);
    expect([decoded.readings, decoded.sides]).toEqual([[], []]);
    expect(decoded.rejects).toMatchObject([
      { reason: 'not-a-temperature', detail: 'a (A), b (Cel), c (no unit), d (no unit), e (degF)' },
    ]);
  });

  it('says one line for each way to fail, however long the pack is', () => {
    const pack = Array.from({ length: 60 }, (_, i) => [
      { n: `a${i}`, u: 'A', v: 1 },
      { n: `-${i}`, u: 'Cel', v: 1 },
      { n: `c${i}`, u: 'Cel', v: 5000 },
    ]).flat();
    const decoded = heard(pack);
    expect(reasons(decoded).sort()).toEqual(['bad-senml', 'not-a-temperature', 'out-of-range']);
    for (const { detail } of decoded.rejects) expect(detail.length).toBeLessThanOrEqual(200);
  });

  it('keeps the good records of a pack with bad ones', () => {
    const decoded = heard([
      { n: 'a b', u: 'Cel', v: 1 },
      { n: 'c', u: 'Cel', v: 63 },
      { n: 'd', u: 'Cel', v: -127 },
    ]);
    expect(decoded.readings.map((r) => r.sensorId)).toEqual(['c']);
    expect(reasons(decoded)).toEqual(['bad-senml', 'out-of-range']);
  });

  it('takes secondary units in a pack of version 26 and in no other (RFC 9100 section 4)', () => {
    // RFC 8798 (2020) section 3: mV is V / 1000, dBm is dBW + 30
    const pack = [
      { bver: 26, n: 'a', u: 'mV', v: 3100 },
      { n: 'a', u: 'dBm', v: 10 },
    ];
    expect(heard(pack).sides.map((s) => [s.quantity, s.value, s.unit])).toEqual([
      ['voltage', 3.1, 'V'],
      ['signal', -20, 'dBW'],
    ]);
    const plain = heard([{ n: 'a', u: 'mV', v: 3100 }]);
    expect([plain.sides, reasons(plain)]).toEqual([[], ['not-a-temperature']]);
  });

  it('takes no battery of more than all or less than nothing', () => {
    for (const v of [-1, 100.5, 1e300])
      expect(reasons(heard([{ n: 'a', u: '%EL', v }]))).toEqual(['out-of-range']);
    expect(heard([{ n: 'a', u: '%EL', v: 0 }]).sides).toHaveLength(1);
  });
});

describe('the time of SenML records', () => {
  const timeOf = (record: object, retained = false) =>
    heard([{ n: 'a', u: 'Cel', v: 63, ...record }], { retained });

  it('is that of the device when it is a date', () => {
    expect(timeOf({ t: 1_759_999_990.25 }).readings[0]).toMatchObject({
      atMs: 1_759_999_990_250,
      timeSource: 'device',
    });
  });

  it('is counted back from arrival when it is an age', () => {
    expect(timeOf({ t: -12.5 }).readings[0]).toMatchObject({ atMs: NOW_MS - 12_500, timeSource: 'age' });
  });

  it('is that of arrival when there is none', () => {
    expect(timeOf({}).readings[0]).toMatchObject({ atMs: NOW_MS, timeSource: 'arrival' });
    expect(timeOf({ t: 0 }).readings[0]).toMatchObject({ atMs: NOW_MS, timeSource: 'arrival' });
  });

  it('comes with the promise of the next one', () => {
    expect(timeOf({ ut: 30 }).readings[0]?.nextWithinS).toBe(30);
    expect(timeOf({}).readings[0]?.nextWithinS).toBeNull();
  });

  it('far from now is for the gate to judge, and not thrown away here', () => {
    expect(timeOf({ t: 268_435_460 }).readings[0]?.atMs).toBe(268_435_460_000);
    expect(timeOf({ t: 268_435_455 }).readings[0]?.atMs).toBe(NOW_MS + 268_435_455_000);
    expect(timeOf({ t: 9e9 }).readings[0]?.atMs).toBe(9e12);
  });

  it('that no calendar has is refused', () => {
    for (const t of [1e13, 1e300, -1e13]) expect(reasons(timeOf({ t }))).toEqual(['bad-time']);
  });

  it('of a retained pack is known only as a date: an age in it does not make it live', () => {
    expect(timeOf({ t: -2 }, true).readings[0]).toMatchObject({ quality: 3, reasons: 128 });
    expect(timeOf({}, true).readings[0]).toMatchObject({ quality: 3, reasons: 128 });
    expect(timeOf({ t: 1_759_999_990 }, true).readings[0]).toMatchObject({ quality: 1, reasons: 0 });
  });

  it('decides whether the battery of a retained pack is one of today', () => {
    const battery = { n: 'a', u: '%EL', v: 87 };
    expect(heard([battery], { retained: true })).toMatchObject({ sides: [], rejects: [] });
    expect(heard([{ ...battery, t: 1_759_999_990 }], { retained: true }).sides).toHaveLength(1);
  });
});

describe('the examples of RFC 8428', () => {
  it('give the temperatures and humidities of 5.1.6, all at the one base time', () => {
    const { readings, sides, rejects } = heard(exampleOf('5.1.6'));
    expect(readings.map((r) => [r.sensorId, r.tempC, r.atMs])).toEqual([
      ['2001:db8::2/temperature', 25.2, 1_320_078_429_000],
      ['2001:db8::1/temperature', 12.3, 1_320_078_429_000],
    ]);
    expect(sides.map((s) => [s.sensorId, s.quantity, s.value])).toEqual([
      ['2001:db8::2/humidity', 'humidity', 30],
      ['2001:db8::1/humidity', 'humidity', 67],
    ]);
    expect(rejects).toEqual([]);
  });

  it('give the humidities and the battery of 5.1.3, and one line for the positions', () => {
    const decoded = heard(exampleOf('5.1.3, resolved in 5.1.4'));
    expect(decoded.sides.map((s) => [s.quantity, s.value])).toEqual([
      ['humidity', 20],
      ['humidity', 20.3],
      ['humidity', 20.7],
      ['battery', 98],
      ['humidity', 21.2],
    ]);
    expect(reasons(decoded)).toEqual(['not-a-temperature']);
  });
});
