const CONNECT = 0x10;
const CLEAN_SESSION = 0x02;
const PUBLISH_QOS_1 = 0x32;
const PUBACK = 0x40;
const CONNACK = 0x20;
const LEVEL_3_1_1 = 4;
const ACK_BYTES = 4;

function text(value: string): Buffer {
  const bytes = Buffer.from(value, 'utf8');
  const length = Buffer.alloc(2);
  length.writeUInt16BE(bytes.length);
  return Buffer.concat([length, bytes]);
}

/** Remaining length in base 128, least first: MQTT 3.1.1 section 2.2.3. */
function varint(length: number): Buffer {
  const out: number[] = [];
  let rest = length;
  do {
    const low = rest % 128;
    rest = Math.floor(rest / 128);
    out.push(rest > 0 ? low | 0x80 : low);
  } while (rest > 0);
  return Buffer.from(out);
}

/** CONNECT of MQTT 3.1.1 (section 3.1), a clean session. */
export function connectPacket(clientId: string, keepAliveS: number): Buffer {
  const keepAlive = Buffer.alloc(2);
  keepAlive.writeUInt16BE(keepAliveS);
  const body = Buffer.concat([
    text('MQTT'),
    Buffer.from([LEVEL_3_1_1, CLEAN_SESSION]),
    keepAlive,
    text(clientId),
  ]);
  return Buffer.concat([Buffer.from([CONNECT]), varint(body.length), body]);
}

/** PUBLISH at QoS 1 (section 3.3). */
export function publishPacket(topic: Buffer, packetId: number, payload: string): Buffer {
  const length = 2 + topic.length + 2 + payload.length;
  const head = varint(length);
  const out = Buffer.allocUnsafe(1 + head.length + length);
  let at = out.writeUInt8(PUBLISH_QOS_1, 0);
  at += head.copy(out, at);
  at = out.writeUInt16BE(topic.length, at);
  at += topic.copy(out, at);
  at = out.writeUInt16BE(packetId, at);
  out.write(payload, at, 'latin1');
  return out;
}

/** CONNACK and PUBACK are all that a publisher at QoS 1 hears, and both have four bytes in 3.1.1 (3.2, 3.4). */
export class AckReader {
  private rest: Buffer = Buffer.alloc(0);

  /** Packet ids of the PUBACKs that are whole now, 0 for a CONNACK that accepts. Throws on anything else. */
  read(chunk: Buffer): number[] {
    const bytes = this.rest.length > 0 ? Buffer.concat([this.rest, chunk]) : chunk;
    const ids: number[] = [];
    let at = 0;
    for (; at + ACK_BYTES <= bytes.length; at += ACK_BYTES) {
      const kind = bytes[at];
      const last = bytes.readUInt16BE(at + 2);
      if (bytes[at + 1] !== 2 || !(kind === PUBACK || (kind === CONNACK && last === 0)))
        throw new Error(`not an acknowledgement: ${bytes.subarray(at, at + ACK_BYTES).toString('hex')}`);
      ids.push(kind === PUBACK ? last : 0);
    }
    this.rest = Buffer.from(bytes.subarray(at));
    return ids;
  }
}
