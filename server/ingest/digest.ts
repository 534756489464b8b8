/** Odd multipliers and start values of the two lanes. OURS: any odd numbers with well mixed bits do. */
const LANES = { startA: 0xdeadbeef, startB: 0x41c6ce57, timesA: 0x9e3779b1, timesB: 0x5f356495 } as const;
const LOW_21_BITS = 0x1fffff;
const TWO_32 = 4_294_967_296;

/**
 * 53 bits of a topic and its payload, never 0. It tells whether a repeated packet id carries the same message, which the
 * sender says already with its DUP flag: it must be quick and well spread, not proof against an attacker, who could only
 * make a message of its own pass for one of its own.
 */
export function digestOf(topic: string, payload: Uint8Array): number {
  let a: number = LANES.startA ^ topic.length;
  let b: number = LANES.startB ^ payload.length;
  const mix = (code: number): void => {
    a = Math.imul(a ^ code, LANES.timesA);
    b = Math.imul(b ^ code, LANES.timesB);
    a ^= b >>> 15;
    b ^= a >>> 13;
  };
  for (let i = 0; i < topic.length; i += 1) mix(topic.charCodeAt(i));
  for (const byte of payload) mix(byte);
  return Math.max(1, (b & LOW_21_BITS) * TWO_32 + (a >>> 0));
}
