import { createHmac, randomBytes, scryptSync, timingSafeEqual } from 'node:crypto';

/** OWASP Password Storage Cheat Sheet (2023), scrypt: N = 2^17, r = 8, p = 1. From memory. */
const SCRYPT = { N: 2 ** 17, r: 8, p: 1, maxmem: 256 * 1024 * 1024 };
const KEY_BYTES = 32;
const SALT_BYTES = 16;

export function hashPassphrase(passphrase: string): string {
  const salt = randomBytes(SALT_BYTES);
  const key = scryptSync(passphrase.normalize('NFKC'), salt, KEY_BYTES, SCRYPT);
  return `scrypt$${salt.toString('base64')}$${key.toString('base64')}`;
}

export function matchesPassphrase(passphrase: string, stored: string): boolean {
  const [kind, salt, key] = stored.split('$');
  if (kind !== 'scrypt' || salt === undefined || key === undefined) return false;
  const wanted = Buffer.from(key, 'base64');
  const given = scryptSync(passphrase.normalize('NFKC'), Buffer.from(salt, 'base64'), KEY_BYTES, SCRYPT);
  return wanted.length === given.length && timingSafeEqual(wanted, given);
}

/** A session is its expiry and a signature over it, so that a restart of the server does not end it. */
export function signSession(expiresMs: number, sessionKey: string): string {
  return `${expiresMs}.${signature(String(expiresMs), sessionKey)}`;
}

export function isSessionValid(cookie: string, sessionKey: string, nowMs: number): boolean {
  const [expires, given] = cookie.split('.');
  if (expires === undefined || given === undefined || !/^\d{12,14}$/.test(expires)) return false;
  const wanted = Buffer.from(signature(expires, sessionKey));
  const offered = Buffer.from(given);
  return wanted.length === offered.length && timingSafeEqual(wanted, offered) && Number(expires) > nowMs;
}

function signature(text: string, sessionKey: string): string {
  return createHmac('sha256', sessionKey).update(text).digest('base64url');
}

export function newSessionKey(): string {
  return randomBytes(32).toString('base64');
}
