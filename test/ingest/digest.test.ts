import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { digestOf } from '../../server/ingest/digest.ts';

const bytes = (text: string): Uint8Array => Buffer.from(text);

describe('the digest of a message', () => {
  it('is different for every value of a probe, and for the same value of another', () => {
    const all = ['left', 'right', 'left2'].flatMap((name) =>
      Array.from({ length: 30_000 }, (_, i) =>
        digestOf(`tongside/reading/${name}`, bytes((i / 100).toFixed(2))),
      ),
    );
    expect(new Set(all).size).toBe(all.length);
  });

  it('does not take a piece of the topic for a piece of the payload', () => {
    expect(digestOf('ab', bytes('c'))).not.toBe(digestOf('a', bytes('bc')));
  });

  it('is the same for the same message, a whole number above 0 that a float64 holds', () => {
    fc.assert(
      fc.property(fc.string(), fc.uint8Array(), (topic, payload) => {
        const digest = digestOf(topic, payload);
        expect(digestOf(topic, Uint8Array.from(payload))).toBe(digest);
        expect(Number.isSafeInteger(digest) && digest > 0).toBe(true);
      }),
    );
  });
});
