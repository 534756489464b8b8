import { randomBytes } from 'node:crypto';

const ALPHABET = 'abcdefghjkmnpqrstvwxyz0123456789';
const LENGTH = 12;

/** A random id that does not collide between sites: 32^12 possibilities. */
export function newId(): string {
  return Array.from(randomBytes(LENGTH), (byte) => ALPHABET.charAt(byte % ALPHABET.length)).join('');
}
