import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import type { Figure } from './figure.ts';

const WEB = join(import.meta.dirname, '..', '..', 'dist', 'web');
const BYTES_PER_KB = 1_000;

/** What a tablet loads before it shows the live view: the page and what it names; type is loaded beside it. */
export function measurePage(): Promise<Figure[]> {
  const page = join(WEB, 'index.html');
  if (!existsSync(page)) throw new Error('build first: npm run build');
  const html = readFileSync(page, 'utf8');
  const named = [...html.matchAll(/(?:src|href)="(\/assets\/[^"]+)"/g)].map((match) => match[1] ?? '');
  if (named.length === 0) throw new Error('the page names no script');
  const files = [page, ...named.map((path) => join(WEB, path))].map((path) => readFileSync(path));
  const plain = files.reduce((sum, bytes) => sum + bytes.length, 0);
  const packed = files.reduce((sum, bytes) => sum + gzipSync(bytes).length, 0);
  return Promise.resolve([
    {
      part: 'page',
      name: 'first view, compressed',
      of: `${files.length} files`,
      value: packed / BYTES_PER_KB,
      unit: 'kB',
      beside: { what: 'kB as they are', value: plain / BYTES_PER_KB },
    },
  ]);
}
