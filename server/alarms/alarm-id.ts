import type { AlarmKind } from './condition.ts';

/**
 * The name of one occurrence: the same key raised at the same moment gives the same id, on any machine. Lower-case letters,
 * digits and hyphens, short enough for an address.
 */
export function alarmId(kind: AlarmKind, key: string, raisedMs: number): string {
  return `${kind}-${digest(key)}-${raisedMs.toString(36)}`;
}

/** FNV-1a, 32 bit (Fowler, Noll, Vo; both constants from memory): tells keys apart, protects nothing. */
function digest(text: string): string {
  let hash = 0x811c9dc5;
  for (let i = 0; i < text.length; i += 1) {
    hash = Math.imul(hash ^ text.charCodeAt(i), 0x01000193);
  }
  return (hash >>> 0).toString(36);
}
