import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decode } from '../../server/ingest/decode.ts';
import { DeviceClock } from '../../server/ingest/gate/device-clock.ts';
import { toIntake, type Packet } from '../../server/ingest/intake.ts';
import type { Message } from '../../server/ingest/message.ts';

const NOW_MS = 1_760_000_000_000;
const packet = (over: Partial<Packet> & { text?: string } = {}): Packet => ({
  topic: 'tongside/reading/left',
  payload: Buffer.from(over.text ?? '63.5'),
  qos: 1,
  retained: false,
  packetId: 7,
  isRepeat: false,
  sender: 'board-1',
  ...over,
});

describe('a packet on its way into the store', () => {
  it('gets a mark when its reading has no time of its own, so that its redelivery is known', () => {
    const first = toIntake(packet(), NOW_MS, decode);
    const again = toIntake(packet({ isRepeat: true }), NOW_MS + 5_000, decode);
    expect(first.delivery).toMatchObject({ sender: 'board-1', packetId: 7, isRepeat: false });
    expect(again.delivery).toMatchObject({ digest: first.delivery?.digest, isRepeat: true });
  });

  it('gets a mark when its payload says only how old it is: the moment is worked out from the arrival', () => {
    const aged = (message: Message) => {
      const decoded = decode(message);
      return { ...decoded, readings: decoded.readings.map((r) => ({ ...r, timeSource: 'age' as const })) };
    };
    expect(toIntake(packet(), NOW_MS, aged).delivery).not.toBeNull();
  });

  it('needs no mark with a time of its own, nor at QoS 0, which is never delivered again', () => {
    const timed = packet({ text: `{"value":63.5,"time":${NOW_MS}}` });
    expect(toIntake(timed, NOW_MS, decode).delivery).toBeNull();
    expect(toIntake(packet({ qos: 0, packetId: null }), NOW_MS, decode).delivery).toBeNull();
  });

  it.each([
    ['eight seconds ahead', 8_000],
    ['three seconds ahead', 3_000],
    ['an hour behind', -3_600_000],
    ['of 1970', -NOW_MS + 1_000],
  ])('gets a mark when its own time is %s: it may not be kept', (_what, aheadMs) => {
    const sent = packet({ text: `{"value":63.5,"time":${(NOW_MS + aheadMs) / 1000}}` });
    expect(decode({ ...sent, receivedMs: NOW_MS }).readings).toHaveLength(1);
    const { delivery } = toIntake(sent, NOW_MS, decode);
    expect(delivery).toMatchObject({ packetId: 7, isRepeat: false });
  });

  it('gets a mark when it comes again, whatever its time says by then', () => {
    const text = `{"value":63.5,"time":${NOW_MS + 8_000}}`;
    const first = toIntake(packet({ text }), NOW_MS, decode);
    const again = toIntake(packet({ text, isRepeat: true }), NOW_MS + 8_000, decode);
    expect(again.delivery).toEqual({ ...first.delivery, isRepeat: true });
  });

  it('always has a mark when its sensor’s clock is moved, whatever the clock did before', () => {
    const steps = fc.array(
      fc.record({
        everyMs: fc.constantFrom(100, 1_000, 10_000, 60_000),
        behindMs: fc.oneof(
          fc.integer({ min: -2_500, max: 2_500 }),
          fc.constantFrom(-60_000, -8_000, -4_000, 4_000, 10_000, 3_600_000),
        ),
        times: fc.integer({ min: 1, max: 6 }),
      }),
      { maxLength: 20 },
    );
    let moved = 0;
    fc.assert(
      fc.property(steps, (series) => {
        const clock = new DeviceClock();
        let receivedMs = NOW_MS;
        for (const { everyMs, behindMs, times } of series) {
          for (let i = 0; i < times; i += 1) {
            receivedMs += everyMs;
            const text = `{"value":63.5,"time":${receivedMs - behindMs}}`;
            const { delivery } = toIntake(packet({ text }), receivedMs, decode);
            if (clock.place(receivedMs - behindMs, receivedMs).kind === 'kept') continue;
            moved += 1;
            expect(delivery).not.toBeNull();
          }
        }
      }),
      { numRuns: 1_000 },
    );
    expect(moved).toBeGreaterThan(1_000);
  });

  it('has another mark with another payload or on another topic', () => {
    const digests = [packet(), packet({ text: '63.6' }), packet({ topic: 'tongside/reading/right' })].map(
      (p) => toIntake(p, NOW_MS, decode).delivery?.digest,
    );
    expect(new Set(digests).size).toBe(3);
  });

  it('is kept to look at when reading it fails over a fault of ours, and stops nothing', () => {
    const intake = toIntake(packet(), NOW_MS, () => {
      throw new TypeError('a fault of ours');
    });
    expect(intake.readings).toEqual([]);
    expect(intake.rejects).toMatchObject([
      { topic: 'tongside/reading/left', reason: 'no-value', detail: 'could not be read: a fault of ours' },
    ]);
  });

  it('is kept to look at when its topic is longer than any sensor’s', () => {
    const topic = (length: number) => 'tongside/reading/'.padEnd(length, 'x');
    const { readings, rejects } = toIntake(packet({ topic: topic(257) }), NOW_MS, decode);
    expect(readings).toEqual([]);
    expect(rejects).toMatchObject([{ reason: 'bad-name' }]);
    expect(toIntake(packet({ topic: topic(100) }), NOW_MS, decode).readings).toHaveLength(1);
  });

  it('brings its user properties to whoever reads it', () => {
    const heard: Message[] = [];
    const userProperties = { probe: 'left' };
    toIntake(packet({ userProperties }), NOW_MS, (message) => {
      heard.push(message);
      return decode(message);
    });
    expect(heard).toMatchObject([{ userProperties, receivedMs: NOW_MS, retained: false }]);
  });
});
