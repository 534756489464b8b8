import { PassThrough } from 'node:stream';
import { expect, test } from 'vitest';
import { HeldWrites } from '../../server/ingest/held-writes.ts';

function wire(): { stream: PassThrough; pieces: string[] } {
  const stream = new PassThrough();
  const pieces: string[] = [];
  stream.on('data', (piece: Buffer) => pieces.push(piece.toString('latin1')));
  return { stream, pieces };
}
function holding(stream: PassThrough): HeldWrites {
  const held = new HeldWrites(stream);
  held.hold();
  return held;
}
const turn = (): Promise<void> => new Promise((resolve) => setImmediate(resolve));

test('nothing leaves until it is let go, and then in one piece and in order', async () => {
  const { stream, pieces } = wire();
  const held = holding(stream);
  stream.write(Buffer.from([0x40]));
  stream.write('ab', 'utf8');
  stream.write('cd');
  await turn();
  expect(pieces).toEqual([]);
  held.release();
  await turn();
  expect(pieces).toEqual(['\x40abcd']);
});

test('keeps more than it first has room for', async () => {
  const { stream, pieces } = wire();
  const held = holding(stream);
  const parts = Array.from({ length: 3_000 }, (_, i) => String(i).padStart(5, '0'));
  for (const part of parts) stream.write(Buffer.from(part));
  held.release();
  await turn();
  expect(pieces.join('')).toBe(parts.join(''));
});

test('before it holds and after it let go, writes go their own way', async () => {
  const { stream, pieces } = wire();
  const held = new HeldWrites(stream);
  stream.write('before');
  held.hold();
  stream.write('kept');
  held.release();
  stream.write('after', 'utf8');
  held.hold();
  stream.write('kept again');
  await turn();
  expect(pieces.join(' ')).toBe('before kept after');
  held.release();
  await turn();
  expect(pieces.join(' ')).toBe('before kept after kept again');
});

test('who asked to be told hears when it has left, not before', async () => {
  const { stream } = wire();
  const told: string[] = [];
  const held = holding(stream);
  stream.write('a', () => told.push('a'));
  stream.write('b', 'utf8', () => told.push('b'));
  await turn();
  expect(told).toEqual([]);
  held.release();
  await turn();
  expect(told).toEqual(['a', 'b']);
});

test('what was kept for a stream that is gone is never sent', async () => {
  const { stream, pieces } = wire();
  const held = holding(stream);
  stream.write('a');
  stream.destroy();
  expect(() => held.release()).not.toThrow();
  await turn();
  expect(pieces).toEqual([]);
});

test('asks the writer to wait while the stream itself is full', () => {
  const stream = new PassThrough({ highWaterMark: 4 });
  expect(stream.write('12345')).toBe(false);
  const held = holding(stream);
  expect(stream.write('6')).toBe(false);
  held.release();
});
