/* Packets of MQTT 3.1.1, written out byte by byte so that tests know exactly what is sent. */

function text(value: string): Buffer {
  const length = Buffer.alloc(2);
  length.writeUInt16BE(Buffer.byteLength(value));
  return Buffer.concat([length, Buffer.from(value)]);
}

/** Fixed header with the remaining length as a variable byte integer (MQTT 3.1.1, 2.2.3). */
function packet(firstByte: number, body: Buffer): Buffer {
  const header = [firstByte];
  let left = body.length;
  do {
    const digit = left % 128;
    left = Math.floor(left / 128);
    header.push(left > 0 ? digit | 0x80 : digit);
  } while (left > 0);
  return Buffer.concat([Buffer.from(header), body]);
}

/** CONNECT, protocol level 4, no keep-alive. */
export function connectBytes(clientId: string, session: 'clean' | 'kept' = 'clean'): Buffer {
  const flags = session === 'clean' ? 2 : 0;
  return packet(0x10, Buffer.concat([text('MQTT'), Buffer.from([4, flags, 0, 0]), text(clientId)]));
}
/** PUBLISH at QoS 0. */
export function publishBytes(topic: string, payload: string): Buffer {
  return packet(0x30, Buffer.concat([text(topic), Buffer.from(payload)]));
}
/** PUBLISH at QoS 1. */
export function publishQos1Bytes(topic: string, payload: string, id: number): Buffer {
  const idBytes = Buffer.alloc(2);
  idBytes.writeUInt16BE(id);
  return packet(0x32, Buffer.concat([text(topic), idBytes, Buffer.from(payload)]));
}
/** SUBSCRIBE at QoS 0 with packet id 1. */
export function subscribeBytes(filter: string): Buffer {
  return packet(0x82, Buffer.concat([Buffer.from([0, 1]), text(filter), Buffer.from([0])]));
}
