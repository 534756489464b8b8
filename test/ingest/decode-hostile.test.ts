import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { encode } from 'cborg';
import fc from 'fast-check';
import { beforeAll, describe, expect, it } from 'vitest';
import {
  REJECT_REASONS,
  SENSOR_ID_PATTERN,
  SIDE_QUANTITIES,
  type IncomingReading,
  type Reject,
  type SideReading,
} from '../../server/contract/reading.ts';
import { decode } from '../../server/ingest/decode.ts';
import { QualityGate } from '../../server/ingest/gate/quality-gate.ts';
import { toIntake } from '../../server/ingest/intake.ts';
import type { Decoded, Message } from '../../server/ingest/message.ts';
import { SensorCap } from '../../server/ingest/sensor-cap.ts';
import type { GateStore, SeatKind } from '../../server/ports.ts';
import { HOSTILE_PAYLOADS } from '../support/hostile-payloads.ts';

const NOW_MS = 1_760_000_000_000;
const TOPICS = ['tongside/reading/left', 'tongside/senml', 'tongside/senml/yard'];

/** 10 rounds of 2,500 generated payloads, each as it is and in three spoilt forms: 100,000. */
const ROUNDS = 10;
const RUNS_A_ROUND = 2_500;
const FORMS = 4;

/** What is wrong with a result; null when it keeps every promise that the rest of the server relies on. */
function fault({ readings, sides, unplugged, rejects }: Decoded): string | null {
  if (new Set(rejects.map((r) => r.reason)).size !== rejects.length) return 'one reason twice';
  if (unplugged.some((u) => u.sensorId !== 'left' || u.receivedMs !== NOW_MS)) return 'unplugged';
  const faults = [...readings.map(readingFault), ...sides.map(sideFault), ...rejects.map(rejectFault)];
  return faults.find((found) => found !== null) ?? null;
}

function readingFault(r: IncomingReading): string | null {
  if (!SENSOR_ID_PATTERN.test(r.sensorId)) return `sensor ${r.sensorId}`;
  if (!(r.tempC >= -60 && r.tempC <= 1_200)) return `temperature ${r.tempC}`;
  if (!Number.isInteger(r.atMs) || !isDate(r.atMs) || r.receivedMs !== NOW_MS) return `time ${r.atMs}`;
  if (r.quality !== 1 && r.quality !== 3) return `quality ${r.quality}`;
  const isPromise = r.nextWithinS === null || (r.nextWithinS > 0 && r.nextWithinS < Infinity);
  return isPromise ? null : `next within ${r.nextWithinS}`;
}

function sideFault(s: SideReading): string | null {
  if (!SENSOR_ID_PATTERN.test(s.sensorId)) return `sensor ${s.sensorId}`;
  if (!SIDE_QUANTITIES.includes(s.quantity) || !Number.isFinite(s.value)) return `${s.quantity} ${s.value}`;
  return Number.isInteger(s.atMs) && isDate(s.atMs) ? null : `time ${s.atMs}`;
}

function rejectFault(r: Reject): string | null {
  if (!REJECT_REASONS.includes(r.reason)) return `reason ${r.reason}`;
  return r.payload.length <= 200 && r.detail.length <= 200 && r.topic.length <= 200
    ? null
    : 'too long to keep';
}

const isDate = (atMs: number): boolean => !Number.isNaN(new Date(atMs).getTime());

const number = fc.oneof(
  fc.double(),
  fc.integer({ min: -100, max: 300 }),
  fc.integer({ min: 1.7e9, max: 1.8e9 }),
);
const unit = fc.constantFrom('Cel', 'Cel', 'Cel', 'K', '%RH', '%EL', 'V', 'mV', 'dBm', 'A', 'degF');
const name = fc.oneof(fc.constantFrom('p1', 'box:', 'x'.repeat(130), 'a b'), fc.string({ maxLength: 8 }));
const record = fc.record(
  {
    bn: name,
    bt: number,
    bu: unit,
    bv: number,
    bver: fc.constantFrom(5, 10, 26, 42),
    n: name,
    u: unit,
    v: number,
    vs: fc.string({ maxLength: 8 }),
    vb: fc.boolean(),
    t: number,
    ut: number,
    other_: fc.constant(1),
    other: fc.jsonValue(),
  },
  { requiredKeys: [] },
);
/** Packs of plain records beside wild ones, so that many get through. */
const plain = fc.record({
  n: fc.constantFrom('p1', 'p2'),
  u: unit,
  v: fc.double({ min: -80, max: 1_300, noNaN: true }),
});
const pack = fc.oneof(
  fc.array(plain, { minLength: 1, maxLength: 4 }),
  fc.array(fc.oneof(plain, record), { maxLength: 4 }),
);
const object = fc.record(
  {
    value: fc.oneof(number, fc.jsonValue(), fc.constantFrom(null, '', 'nan')),
    unit: fc.oneof(unit, fc.string()),
    time: fc.oneof(number, fc.string(), fc.jsonValue()),
  },
  { requiredKeys: ['value'] },
);

const LABELS = new Map<string, number>([
  ['bver', -1],
  ['bn', -2],
  ['bt', -3],
  ['bu', -4],
  ['bv', -5],
  ['n', 0],
  ['u', 1],
  ['v', 2],
  ['vs', 3],
  ['vb', 4],
  ['t', 6],
  ['ut', 7],
] as const);
function inCbor(records: object[]): Uint8Array {
  const maps = records.map(
    (r) => new Map(Object.entries(r).map(([key, value]) => [LABELS.get(key) ?? key, value])),
  );
  return Uint8Array.from(encode(maps));
}

const utf8 = (text: string): Uint8Array => new TextEncoder().encode(text);
const payloads = fc.oneof(
  fc.uint8Array({ maxLength: 120 }),
  fc.json({ maxDepth: 20 }).map(utf8),
  number.map((n) => utf8(String(n))),
  object.map((value) => utf8(JSON.stringify(value))),
  { weight: 3, arbitrary: pack.map((value) => utf8(JSON.stringify(value))) },
  { weight: 3, arbitrary: pack.map(inCbor) },
  fc
    .integer({ min: 0, max: 40 })
    .map((depth) => utf8(`[{"v":1,"deep":${'['.repeat(depth)}${']'.repeat(depth)}}]`)),
);

/** The payload as it is, cut short, with one byte changed, and twice in a row. */
function* formsOf(payload: Uint8Array, at: number): Generator<Uint8Array> {
  const place = payload.length === 0 ? 0 : at % payload.length;
  yield payload;
  yield payload.subarray(0, place);
  yield Uint8Array.from(payload, (byte, i) => (i === place ? byte ^ (1 << (at % 8)) : byte));
  yield Uint8Array.from([...payload, ...payload]);
}

type Seen = {
  payloads: number;
  readings: number;
  admitted: number;
  sides: number;
  unplugged: number;
  reasons: Set<string>;
};

const SEATS: readonly (SeatKind | null)[] = [null, 'core', 'zone', 'cooler', 'pot', 'bench'];
const EMPTY_STORE: GateStore = { newestMs: () => null, has: () => false };

/** The way behind decoding, as the server goes it: the cap on sensors, then the gate, then the store's answer. */
class WayIn {
  private readonly cap = new SensorCap([]);
  private readonly gate = new QualityGate();
  private packetId = 0;

  /** What is let through of a message, in pairs: as it was decoded, and as it was admitted. */
  take(message: Message, at: number): [IncomingReading, IncomingReading][] {
    this.packetId = (this.packetId % 65_535) + 1;
    const { topic, payload, retained, receivedMs } = message;
    const isRepeat = at % 5 === 0;
    const packet = { topic, payload, retained, qos: 1, packetId: this.packetId, isRepeat, sender: 'yard' };
    const intake = this.cap.apply(toIntake(packet, receivedMs, decode), packet, {
      client: 'yard',
      receivedMs,
    });
    const seat = SEATS[at % SEATS.length] ?? null;
    const pairs = intake.readings.map((reading): [IncomingReading, IncomingReading] => [
      reading,
      this.gate.admit(reading, { seat, isRepeat, store: EMPTY_STORE }),
    ]);
    if (at % 11 === 0) this.gate.takeBack();
    else this.gate.stored(pairs.map(([, admitted]) => admitted));
    return pairs;
  }
}

/** The gate may move a reading in time and believe it less; it changes nothing else. */
function admitFault(before: IncomingReading, after: IncomingReading): string | null {
  if (after.sensorId !== before.sensorId || after.tempC !== before.tempC) return 'another reading';
  if (!Number.isInteger(after.atMs) || !isDate(after.atMs)) return `admitted at ${after.atMs}`;
  if (after.quality < before.quality || (after.quality > 4 && after.quality !== before.quality))
    return `quality ${before.quality} became ${after.quality}`;
  return (after.reasons & before.reasons) === before.reasons ? null : 'a reason was dropped';
}

function round(seed: number, seen: Seen, wayIn: WayIn, keep: Decoded[] | null = null): void {
  const about = fc.record({ topic: fc.constantFrom(...TOPICS), retained: fc.boolean(), at: fc.nat() });
  fc.assert(
    fc.property(payloads, about, (payload, { topic, retained, at }) => {
      for (const form of formsOf(payload, at)) {
        const message: Message = { topic, payload: form, receivedMs: NOW_MS, retained };
        const decoded = decode(message);
        const wrong = fault(decoded);
        if (wrong !== null) throw new Error(wrong);
        for (const [before, after] of wayIn.take(message, at)) {
          const spoilt = admitFault(before, after);
          if (spoilt !== null) throw new Error(spoilt);
          seen.admitted++;
        }
        seen.payloads++;
        seen.readings += decoded.readings.length;
        seen.sides += decoded.sides.length;
        seen.unplugged += decoded.unplugged.length;
        for (const { reason } of decoded.rejects) seen.reasons.add(reason);
        keep?.push(decoded);
      }
    }),
    { numRuns: RUNS_A_ROUND, seed },
  );
}

beforeAll(() => {
  setFlagsFromString('--expose-gc');
});

function heapBytes(): number {
  runInNewContext('gc(); gc()');
  return process.memoryUsage().heapUsed;
}

describe('whatever arrives', () => {
  it('100,000 generated payloads are decoded and admitted without an exception, well formed, and memory stays flat', () => {
    const seen: Seen = { payloads: 0, readings: 0, admitted: 0, sides: 0, unplugged: 0, reasons: new Set() };
    const wayIn = new WayIn();
    let earlyBytes = 0;
    for (let i = 0; i < ROUNDS; i++) {
      round(i + 1, seen, wayIn);
      if (i === 2) earlyBytes = heapBytes();
    }
    const grownBytes = heapBytes() - earlyBytes;
    expect(seen.payloads).toBe(ROUNDS * RUNS_A_ROUND * FORMS);
    // the mix reaches every way through, so that the silence above means something
    expect(seen.readings).toBeGreaterThan(5_000);
    expect(seen.admitted).toBeGreaterThan(5_000);
    expect(seen.sides).toBeGreaterThan(2_000);
    expect(seen.unplugged).toBeGreaterThan(100);
    expect([...seen.reasons].sort()).toEqual([
      'bad-senml',
      'bad-time',
      'empty',
      'not-a-number',
      'not-a-temperature',
      'not-finite',
      'out-of-range',
      'too-deep',
      'unknown-unit',
      'wrong-json-type',
    ]);
    expect(grownBytes).toBeLessThan(2_000_000);

    // the same measure sees a leak: one round whose results are kept
    const kept: Decoded[] = [];
    const beforeBytes = heapBytes();
    round(1, seen, wayIn, kept);
    expect(heapBytes() - beforeBytes).toBeGreaterThan(2_000_000);
    expect(kept).toHaveLength(RUNS_A_ROUND * FORMS);
  }, 120_000);

  it.each(HOSTILE_PAYLOADS)('a hostile payload does no harm: %s', (_what, payload) => {
    for (const topic of TOPICS) {
      for (const retained of [false, true]) {
        const message = { topic, payload, receivedMs: NOW_MS, retained };
        expect(fault(decode(message))).toBeNull();
        for (const at of [1, 5, 11, 55])
          for (const [before, after] of new WayIn().take(message, at))
            expect(admitFault(before, after)).toBeNull();
      }
    }
    expect(Object.prototype).not.toHaveProperty('value');
    expect(Object.prototype).not.toHaveProperty('v');
  });

  it('no hostile payload takes longer than a moment', () => {
    for (const [what, payload] of HOSTILE_PAYLOADS) {
      const tries = [1, 2, 3].map(() => {
        const startMs = performance.now();
        decode({ topic: 'tongside/reading/left', payload, receivedMs: NOW_MS, retained: false });
        return performance.now() - startMs;
      });
      expect(Math.min(...tries), what).toBeLessThan(150);
    }
  });
});
