import { closeSync, fsyncSync, openSync } from 'node:fs';
import { dirname } from 'node:path';

/** Puts a file, or the names in a folder, on the disk. */
function sync(path: string): void {
  const handle = openSync(path, 'r');
  try {
    fsyncSync(handle);
  } finally {
    closeSync(handle);
  }
}

/** A finished file and its name: both survive a power cut from here on. */
export function settle(path: string): void {
  sync(path);
  sync(dirname(path));
}
