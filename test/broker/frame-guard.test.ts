import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { FrameGuard, type Passed } from '../../server/broker/frame-guard.ts';

const MAX = 16_384;
const PUBLISH = 0x32;
const CONNECT = 0x10;

/** The variable byte integer of MQTT 3.1.1, 2.2.3, written as its algorithm says. */
function lengthBytes(length: number): number[] {
  const out: number[] = [];
  let x = length;
  do {
    let digit = x % 128;
    x = Math.floor(x / 128);
    if (x > 0) digit |= 128;
    out.push(digit);
  } while (x > 0);
  return out;
}
const aPacket = (type: number, bodyLength: number): number[] => [
  type,
  ...lengthBytes(bodyLength),
  // bytes that would look like headers of huge packets if the body were not skipped
  ...new Array<number>(bodyLength).fill(0xff),
];

/** The bytes in pieces that are cut at these places. */
function feedInPieces(guard: FrameGuard, bytes: Uint8Array, cuts: readonly number[]): Passed {
  const places = [...new Set(cuts.map((cut) => cut % (bytes.length + 1)))].sort((a, b) => a - b);
  let publishes = 0;
  let from = 0;
  for (const to of [...places, bytes.length]) {
    const passed = guard.feed(bytes.subarray(from, to));
    if (!passed.ok) return passed;
    publishes += passed.publishes;
    from = to;
  }
  return { ok: true, publishes };
}

const cuts = fc.array(fc.nat(), { maxLength: 12 });

describe('the guard over packet sizes', () => {
  it.each([
    // MQTT 3.1.1 table 2.4: least and greatest length of each number of bytes
    { length: 0, bytes: [0x00] },
    { length: 127, bytes: [0x7f] },
    { length: 128, bytes: [0x80, 0x01] },
    { length: 16_383, bytes: [0xff, 0x7f] },
    { length: 16_384, bytes: [0x80, 0x80, 0x01] },
    { length: 2_097_151, bytes: [0xff, 0xff, 0x7f] },
    { length: 2_097_152, bytes: [0x80, 0x80, 0x80, 0x01] },
    { length: 268_435_455, bytes: [0xff, 0xff, 0xff, 0x7f] },
  ])('reads a length of $length as the standard writes it', ({ length, bytes }) => {
    const whole = 1 + bytes.length + length;
    expect(new FrameGuard(whole).feed(Uint8Array.from([PUBLISH, ...bytes]))).toEqual({
      ok: true,
      publishes: 1,
    });
    expect(new FrameGuard(whole - 1).feed(Uint8Array.from([PUBLISH, ...bytes]))).toEqual({
      ok: false,
      why: 'packet-too-large',
      bytes: whole,
      topic: null,
    });
  });

  it.each([
    { what: 'whole', type: PUBLISH, rest: [0, 3, ...Buffer.from('a/bpayload')], topic: 'a/b' },
    { what: 'in part', type: PUBLISH, rest: [0, 9, ...Buffer.from('a/b')], topic: 'a/b' },
    { what: 'not at all', type: PUBLISH, rest: [0, 9], topic: null },
    { what: 'where a packet has none', type: CONNECT, rest: [0, 4, ...Buffer.from('MQTT')], topic: null },
    {
      what: 'cut at 256 bytes',
      type: PUBLISH,
      rest: [4, 0, ...Buffer.alloc(1_024, 'x')],
      topic: 'x'.repeat(256),
    },
  ])(
    'tells the topic of what is too large as far as it came with the header: $what',
    ({ type, rest, topic }) => {
      const chunk = Uint8Array.from([...aPacket(PUBLISH, 5), type, ...lengthBytes(20_000), ...rest]);
      expect(new FrameGuard(MAX).feed(chunk)).toEqual({
        ok: false,
        why: 'packet-too-large',
        bytes: 20_004,
        topic,
      });
    },
  );

  it('lets every stream of packets within the bound pass and counts what is published, however it is cut', () => {
    const packet = fc.record({
      type: fc.constantFrom(CONNECT, PUBLISH, 0x82, 0xc0),
      length: fc.oneof(fc.constantFrom(0, 1, 127, 128, 129, MAX - 3), fc.nat(300)),
    });
    fc.assert(
      fc.property(fc.array(packet, { maxLength: 8 }), cuts, (packets, places) => {
        const bytes = Uint8Array.from(packets.flatMap(({ type, length }) => aPacket(type, length)));
        const publishes = packets.filter(({ type }) => type === PUBLISH).length;
        expect(feedInPieces(new FrameGuard(MAX), bytes, places)).toEqual({ ok: true, publishes });
      }),
      { numRuns: 500 },
    );
  });

  it('stops a packet that claims too much by its header alone, however it is cut and whatever came before', () => {
    fc.assert(
      fc.property(
        fc.array(fc.nat(200), { maxLength: 5 }),
        fc.integer({ min: MAX - 2, max: 268_435_455 }),
        cuts,
        (before, length, places) => {
          const bytes = Uint8Array.from([
            ...before.flatMap((n) => aPacket(PUBLISH, n)),
            PUBLISH,
            ...lengthBytes(length),
          ]);
          expect(feedInPieces(new FrameGuard(MAX), bytes, places)).toEqual({
            ok: false,
            why: 'packet-too-large',
            bytes: 1 + lengthBytes(length).length + length,
            topic: null,
          });
        },
      ),
      { numRuns: 500 },
    );
  });

  it('stops a length that has more than four bytes', () => {
    fc.assert(
      fc.property(fc.array(fc.nat(200), { maxLength: 5 }), cuts, (before, places) => {
        const bytes = Uint8Array.from([
          ...before.flatMap((n) => aPacket(PUBLISH, n)),
          PUBLISH,
          0xff,
          0xff,
          0xff,
          0xff,
        ]);
        expect(feedInPieces(new FrameGuard(MAX), bytes, places)).toEqual({
          ok: false,
          why: 'malformed-length',
        });
      }),
    );
  });

  it('never fails over any bytes', () => {
    fc.assert(
      fc.property(fc.array(fc.uint8Array({ maxLength: 400 }), { maxLength: 6 }), (chunks) => {
        const guard = new FrameGuard(MAX);
        for (const chunk of chunks) {
          const passed = guard.feed(chunk);
          expect(passed.ok ? passed.publishes <= chunk.length : passed.why.length > 0).toBe(true);
          if (!passed.ok) return;
        }
      }),
      { numRuns: 2_000 },
    );
  });
});
