import type { IncomingMessage } from 'node:http';
import type { Access } from '../contract/api.ts';
import {
  hashPassphrase,
  isSessionValid,
  matchesPassphrase,
  newSessionKey,
  signSession,
} from './passphrase.ts';

export const SESSION_COOKIE = 'tongside_session';
/** Digits, a dot and base64url: nothing that a cookie would have to escape. */
const SESSION_FORM = /^[\w.-]+$/;
export const SESSION_MS = 14 * 24 * 3_600_000;

type SettingName = 'passphrase' | 'session-key';
export type AccessSettings = {
  get(name: SettingName): string | null;
  /** All of them or none. */
  setTogether(settings: readonly (readonly [name: SettingName, value: string])[]): void;
};

/** One role: whoever knows the passphrase. On this machine alone nothing is asked. */
export class AccessControl {
  private readonly settings: AccessSettings;
  private readonly isLoopback: boolean;
  private readonly onSessionsEnded: () => void;

  constructor(settings: AccessSettings, isLoopback: boolean, onSessionsEnded: () => void) {
    this.settings = settings;
    this.isLoopback = isLoopback;
    this.onSessionsEnded = onSessionsEnded;
  }

  /** Real wall time: a session does not run faster in a demonstration. */
  isOpen(request: IncomingMessage, nowMs: number): boolean {
    if (this.isLoopback) return true;
    const cookie = cookieOf(request);
    const key = this.settings.get('session-key');
    return cookie !== null && key !== null && isSessionValid(cookie, key, nowMs);
  }

  view(request: IncomingMessage, nowMs: number, mqttUrl: string): Access {
    const open = this.isOpen(request, nowMs);
    return {
      open,
      mqttUrl: open ? mqttUrl : null,
      passphraseSet: this.settings.get('passphrase') !== null,
      loopbackOnly: this.isLoopback,
    };
  }

  /** A new passphrase ends every session that the old one opened. When it cannot be stored, nothing has changed. */
  setPassphrase(passphrase: string): void {
    this.settings.setTogether([
      ['session-key', newSessionKey()],
      ['passphrase', hashPassphrase(passphrase)],
    ]);
    this.onSessionsEnded();
  }

  /** The cookie of a new session, or null when the passphrase is wrong or none is set. */
  login(passphrase: string, nowMs: number): string | null {
    const stored = this.settings.get('passphrase');
    const key = this.settings.get('session-key');
    if (stored === null || key === null || !matchesPassphrase(passphrase, stored)) return null;
    return signSession(nowMs + SESSION_MS, key);
  }
}

function cookieOf(request: IncomingMessage): string | null {
  for (const part of (request.headers.cookie ?? '').split(';')) {
    const [name, value] = part.trim().split('=');
    if (name === SESSION_COOKIE && value !== undefined && SESSION_FORM.test(value)) return value;
  }
  return null;
}

/**
 * Guards against other web pages and against names that resolve to this machine: the Host must be an address or name
 * that this server goes by, and an Origin, where there is one, must be the same.
 */
export function isOwnOrigin(request: IncomingMessage): boolean {
  const host = request.headers.host ?? '';
  const name = host.replace(/:\d+$/, '').replace(/^\[|\]$/g, '');
  const isAddress = /^[0-9.]+$/.test(name) || name.includes(':');
  // a name without a dot cannot come from the public name system
  const isLocalName =
    (name !== '' && !name.includes('.')) || name.endsWith('.local') || name.endsWith('.home.arpa');
  if (!isAddress && !isLocalName) return false;
  const { origin } = request.headers;
  return origin === undefined || origin === `http://${host}` || origin === `https://${host}`;
}
