import { describe, expect, it } from 'vitest';
import { pointedAt, pointerNames } from '../../../server/ingest/mapping/json-pointer.ts';

// RFC 6901 (2013) section 5, the standard's own document and pointers
const DOCUMENT: unknown = {
  foo: ['bar', 'baz'],
  '': 0,
  'a/b': 1,
  'c%d': 2,
  'e^f': 3,
  'g|h': 4,
  'i\\j': 5,
  'k"l': 6,
  ' ': 7,
  'm~n': 8,
};

function at(pointer: string, root: unknown = DOCUMENT) {
  return pointedAt(root, pointerNames(pointer));
}

describe('a JSON pointer', () => {
  it.each([
    ['', DOCUMENT],
    ['/foo', ['bar', 'baz']],
    ['/foo/0', 'bar'],
    ['/', 0],
    ['/a~1b', 1],
    ['/c%d', 2],
    ['/e^f', 3],
    ['/g|h', 4],
    ['/i\\j', 5],
    ['/k"l', 6],
    ['/ ', 7],
    ['/m~0n', 8],
  ])('finds %j', (pointer, value) => {
    expect(at(pointer)).toEqual({ kind: 'found', value });
  });

  it('undoes ~01 to ~1 and not to / (RFC 6901 section 4)', () => {
    expect(at('/~01', { '~1': 'tilde one', '/': 'slash' })).toEqual({ kind: 'found', value: 'tilde one' });
  });

  it.each([
    '/foo/2',
    '/foo/-',
    '/foo/01',
    '/foo/length',
    '/bar',
    '/toString',
    '/__proto__',
    '/constructor',
    '/bar/x',
    '/foo/0/x',
    '/a~1b/c',
    '/__proto__/polluted',
  ])('finds nothing at %s', (pointer) => {
    expect(at(pointer)).toEqual({ kind: 'absent' });
  });

  it('finds null where there is null', () => {
    expect(at('/a', { a: null })).toEqual({ kind: 'found', value: null });
  });
});
