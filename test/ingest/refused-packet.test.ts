import { describe, expect, it } from 'vitest';
import { Found } from '../../server/ingest/found.ts';
import { refusedPacket } from '../../server/ingest/refused-packet.ts';

const AT = { receivedMs: 1_760_000_000_000, mostBytes: 16_384 };

describe('a packet that was refused for its size', () => {
  it('is a reject that names the client, with the topic as far as it was read', () => {
    const { decoded } = refusedPacket({ client: 'camera', bytes: 20_022, topic: 'garden/picture' }, AT);
    expect(decoded).toEqual({
      readings: [],
      sides: [],
      unplugged: [],
      rejects: [
        {
          topic: 'garden/picture',
          receivedMs: AT.receivedMs,
          reason: 'too-large',
          detail: '20022 bytes from camera, at most 16384 are taken; its connection was ended',
          payload: new Uint8Array(),
        },
      ],
    });
  });

  it('is listed among what nobody understood, also without a topic or with one that cannot be shown', () => {
    const found = new Found(() => false);
    for (const topic of [null, 'a\0b']) {
      const { message, decoded } = refusedPacket({ client: 'x\n'.repeat(300), bytes: 20_022, topic }, AT);
      expect(decoded.rejects[0]?.detail.length).toBeLessThanOrEqual(200);
      expect(decoded.rejects[0]?.detail).not.toContain('\n');
      found.note(message, decoded);
    }
    expect(found.list()).toMatchObject([
      { topic: 'a\u{FFFD}b', reason: 'too-large', payloadText: '' },
      { topic: '(topic not read)', reason: 'too-large', payloadText: '' },
    ]);
  });
});
