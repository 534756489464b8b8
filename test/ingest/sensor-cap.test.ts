import { describe, expect, it } from 'vitest';
import { decode } from '../../server/ingest/decode.ts';
import { toIntake, type Packet } from '../../server/ingest/intake.ts';
import { SensorCap } from '../../server/ingest/sensor-cap.ts';
import type { Intake } from '../../server/ports.ts';

const NOW_MS = 1_760_000_000_000;
const NEW_PER_CLIENT = 64;
const IN_ALL = 500;

function send(cap: SensorCap, ids: readonly string[], client: string | null): Intake {
  const packet: Packet = {
    topic: 'tongside/senml',
    payload: Buffer.from(JSON.stringify(ids.map((n) => ({ n, u: 'Cel', v: 4 })))),
    qos: 1,
    retained: false,
    packetId: 1,
    isRepeat: false,
    sender: client ?? 'broker',
  };
  return cap.apply(toIntake(packet, NOW_MS, decode), packet, { client, receivedMs: NOW_MS });
}
const names = (count: number, prefix = 's'): string[] =>
  Array.from({ length: count }, (_, i) => `${prefix}${i}`);
/** A payload holds some of them only. */
function sendAll(cap: SensorCap, ids: readonly string[], client: string | null): Intake[] {
  const packs = Array.from({ length: Math.ceil(ids.length / 10) }, (_, i) => ids.slice(i * 10, i * 10 + 10));
  return packs.map((pack) => send(cap, pack, client));
}
const stored = (intakes: Intake[]): number => intakes.flatMap((i) => i.readings).length;

describe('how many sensors there may be', () => {
  it('lets one device bring 64 new ones and says of the others that they are too many', () => {
    const cap = new SensorCap([]);
    const intakes = sendAll(cap, names(70), 'board');
    expect(stored(intakes)).toBe(NEW_PER_CLIENT);
    expect(intakes.at(-1)?.rejects).toMatchObject([
      { reason: 'too-many-sensors', topic: 'tongside/senml', receivedMs: NOW_MS },
    ]);
    expect(intakes.at(-1)?.rejects[0]?.detail).toBe('s64 and 5 more: at most 64 new ones from one device');
  });

  it('goes on with the sensors that are known, whoever sends them', () => {
    const cap = new SensorCap(['old']);
    sendAll(cap, names(NEW_PER_CLIENT + 1), 'board');
    expect(stored([send(cap, ['old', 's3'], 'board')])).toBe(2);
    expect(stored([send(cap, ['other'], 'board-2')])).toBe(1);
    expect(stored([send(cap, ['another'], 'board')])).toBe(0);
  });

  it('takes what may pass out of a message in which something may not', () => {
    const cap = new SensorCap([]);
    sendAll(cap, names(NEW_PER_CLIENT), 'board');
    const { readings, rejects } = send(cap, ['s1', 'extra'], 'board');
    expect(readings.map((r) => r.sensorId)).toEqual(['s1']);
    expect(rejects).toHaveLength(1);
  });

  it('ends at 500 in all, also behind an external broker, where devices cannot be told apart', () => {
    const cap = new SensorCap(names(IN_ALL - 2, 'known'));
    expect(stored([send(cap, ['a', 'b', 'c'], null)])).toBe(2);
    expect(send(cap, ['d'], null).rejects[0]?.detail).toBe('d: at most 500 in all');
    expect(stored([send(cap, ['known7', 'a'], null)])).toBe(2);
  });

  it('counts what is beside a temperature as well', () => {
    const cap = new SensorCap(names(IN_ALL, 'known'));
    const beside: Intake = {
      readings: [],
      sides: [
        { sensorId: 'new', quantity: 'battery', value: 90, unit: '%', atMs: NOW_MS, receivedMs: NOW_MS },
      ],
      unplugged: [{ sensorId: 'gone', receivedMs: NOW_MS }],
      rejects: [],
      delivery: null,
    };
    const packet: Packet = {
      topic: 'x',
      payload: Buffer.alloc(0),
      qos: 0,
      retained: false,
      packetId: null,
      isRepeat: false,
      sender: 'broker',
    };
    const left = cap.apply(beside, packet, { client: null, receivedMs: NOW_MS });
    expect(left).toMatchObject({ sides: [], unplugged: [], rejects: [{ reason: 'too-many-sensors' }] });
  });
});
