import { describe, expect, it } from 'vitest';
import { AckReader, connectPacket, publishPacket } from './wire.ts';

const hex = (text: string): Buffer => Buffer.from(text.replaceAll(' ', ''), 'hex');

describe("the publisher's own MQTT", () => {
  it('says CONNECT as MQTT 3.1.1 section 3.1 lays it out', () => {
    // type 1; length 13; "MQTT"; level 4; clean session; keep alive 10 s; client id "a"
    expect(connectPacket('a', 10)).toEqual(hex('10 0d 0004 4d515454 04 02 000a 0001 61'));
  });

  it('says PUBLISH at QoS 1 as MQTT 3.1.1 section 3.3.2.3 shows it', () => {
    // the example of that section: topic a/b, packet identifier 10; here with the payload "1"
    expect(publishPacket(Buffer.from('a/b'), 10, '1')).toEqual(hex('32 08 0003 612f62 000a 31'));
  });

  it('writes a length of 128 as 0x80 0x01, MQTT 3.1.1 table 2.4', () => {
    const packet = publishPacket(Buffer.from('a/b'), 10, 'x'.repeat(128 - 7));
    expect(packet.subarray(0, 3)).toEqual(hex('32 80 01'));
  });

  it('hears every acknowledgement once, however the bytes are cut', () => {
    const bytes = hex('20020000 40020001 40021234 4002ffff');
    for (let size = 1; size <= bytes.length; size += 1) {
      const reader = new AckReader();
      const heard: number[] = [];
      for (let at = 0; at < bytes.length; at += size)
        heard.push(...reader.read(bytes.subarray(at, at + size)));
      expect(heard).toEqual([0, 1, 0x1234, 0xffff]);
    }
  });

  it('does not take a refusal or anything else for an acknowledgement', () => {
    expect(() => new AckReader().read(hex('20020005'))).toThrow('not an acknowledgement');
    expect(() => new AckReader().read(hex('30020001'))).toThrow('not an acknowledgement');
  });
});
