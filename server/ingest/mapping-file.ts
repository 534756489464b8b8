import {
  closeSync,
  fsyncSync,
  openSync,
  readFileSync,
  realpathSync,
  renameSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { dirname } from 'node:path';
import type { Mapping, MappingDocument } from '../contract/mapping.ts';
import { parseMapping } from '../contract/mapping-problems.ts';

export type MappingFile =
  | { kind: 'none' }
  | { kind: 'read'; mapping: Mapping; document: MappingDocument }
  | { kind: 'broken'; problems: string[] };

/** OURS: far more than the most rules need. */
const MAX_BYTES = 1_000_000;

/** The mapping in a file, or everything that is wrong with it. */
export function readMappingFile(path: string): MappingFile {
  let text: string;
  try {
    text = readFileSync(path, 'utf8');
  } catch (error: unknown) {
    if (isNodeError(error) && error.code === 'ENOENT') return { kind: 'none' };
    return { kind: 'broken', problems: [`cannot be read: ${messageOf(error)}`] };
  }
  if (text.length > MAX_BYTES) return { kind: 'broken', problems: ['is too long for a mapping'] };
  let document: unknown;
  try {
    document = JSON.parse(text);
  } catch (error: unknown) {
    return { kind: 'broken', problems: [`is not JSON: ${messageOf(error)}`] };
  }
  const parsed = parseMapping(document);
  if (parsed.ok) return { kind: 'read', mapping: parsed.mapping, document: parsed.document };
  return { kind: 'broken', problems: parsed.problems.map(({ path: at, message }) => `${at}: ${message}`) };
}

/**
 * Writes a mapping so that the file is the old one or the new one at every instant, also when the power goes. Throws when
 * it cannot; the old file is then as it was.
 */
export function writeMappingFile(path: string, document: MappingDocument): void {
  const target = resolved(path);
  const beside = `${target}.new-${process.pid}`;
  try {
    const file = openSync(beside, 'w');
    try {
      writeFileSync(file, `${JSON.stringify(document, null, 2)}\n`);
      fsyncSync(file);
    } finally {
      closeSync(file);
    }
    renameSync(beside, target);
  } catch (error: unknown) {
    rmSync(beside, { force: true });
    throw error;
  }
  syncFolder(dirname(target));
}

/** The new file is in its place by then, so a failure here is no reason to say that nothing was changed. */
function syncFolder(path: string): void {
  try {
    const folder = openSync(path, 'r');
    try {
      fsyncSync(folder);
    } finally {
      closeSync(folder);
    }
  } catch {
    // some file systems cannot do it; after a loss of power the file is then the old one or the new one
  }
}

/** Where a link leads to, so that the file is replaced and not the link. */
function resolved(path: string): string {
  try {
    return realpathSync(path);
  } catch {
    return path; // not there yet
  }
}

function isNodeError(error: unknown): error is NodeJS.ErrnoException {
  return error instanceof Error && 'code' in error;
}
function messageOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}
