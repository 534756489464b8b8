import { describe, expect, it } from 'vitest';
import { leavesOf, parentOf, payloadView, pointerTo } from '../../web/views/found/payload-tree.ts';
import type { PayloadNode } from '../../web/views/found/payload-tree.ts';

function rootOf(text: string): PayloadNode {
  const view = payloadView(text);
  if (view.kind === 'text') throw new Error(`not taken apart: ${text}`);
  return view.root;
}
const leaf = (text: string, pointer: string): PayloadNode => {
  const found = leavesOf(rootOf(text)).find((node) => node.pointer === pointer);
  if (found === undefined) throw new Error(`nothing at ${pointer}`);
  return found;
};

describe('a payload taken apart', () => {
  it('names every value by the pointer that RFC 6901 section 5 prints for it', () => {
    // the document and the pointers of RFC 6901 section 5
    const document =
      '{"foo":["bar","baz"],"":0,"a/b":1,"c%d":2,"e^f":3,"g|h":4,"i\\\\j":5,"k\\"l":6," ":7,"m~n":8}';
    expect(leavesOf(rootOf(document)).map(({ pointer }) => pointer)).toEqual([
      '/foo/0',
      '/foo/1',
      '/',
      '/a~1b',
      '/c%d',
      '/e^f',
      '/g|h',
      '/i\\j',
      '/k"l',
      '/ ',
      '/m~0n',
    ]);
  });

  it('escapes ~ before /, so that ~1 in a name does not become a slash', () => {
    expect(pointerTo('', '~1')).toBe('/~01');
  });

  it('offers numbers, and texts that are numbers, and nothing else', () => {
    const root = rootOf(
      '{"a":63.5,"b":"4.4","c":"63,5","d":"warm","e":null,"f":true,"g":"63abc","h":"0x10"}',
    );
    expect(leavesOf(root).map(({ decimal }) => decimal)).toEqual([
      '.',
      '.',
      ',',
      null,
      null,
      null,
      null,
      null,
    ]);
  });

  it.each([
    ['145.4', 'number', '.'],
    [' 63,5\n', 'number', ','],
    ['"63.5"', 'number', '.'],
    ['-127', 'number', '.'],
  ])('takes %j as a bare number', (text, kind, decimal) => {
    expect(payloadView(text)).toMatchObject({ kind, decimal });
  });

  it.each(['', 'nan', 'on', '{bad', '63abc', 'true', 'null'])('leaves %j as text', (text) => {
    expect(payloadView(text).kind).toBe('text');
  });

  it('knows what stands beside a value', () => {
    const root = rootOf('{"t":{"ch1":63.5,"ch2":null},"ts":5}');
    expect(parentOf(root, '/t/ch1')?.members.map(({ name }) => name)).toEqual(['ch1', 'ch2']);
    expect(parentOf(root, '/ts')?.pointer).toBe('');
    expect(parentOf(root, '')).toBeNull();
  });

  it('does not follow a payload that is nested without end', () => {
    const deep = `${'['.repeat(400)}1${']'.repeat(400)}`;
    expect(leavesOf(rootOf(deep)).map(({ text }) => text)).toEqual(['[…]']);
  });

  it('keeps names from the air as they are', () => {
    const root = rootOf('{"<b>x</b>":1,"__proto__":2}');
    expect(root.members.map(({ name }) => name)).toEqual(['<b>x</b>', '__proto__']);
  });
});

describe('a value that may be a time', () => {
  it.each([
    ['{"ts":1759999990.25}', '/ts', 'epoch-s'],
    ['{"ts":1759999990250}', '/ts', 'epoch-ms'],
    ['{"ts":1759999990250000}', '/ts', 'epoch-us'],
    ['{"when":"2026-10-25T02:30:00+01:00"}', '/when', 'rfc3339'],
    ['{"when":"2026-10-25 02:30:00"}', '/when', 'local'],
    ['{"age":4}', '/age', 'age-s'],
    ['{"uptime":73500}', '/uptime', 'uptime-ms'],
    ['{"uptime":3621}', '/uptime', 'uptime-s'],
    ['{"uptime_s":73500}', '/uptime_s', 'uptime-s'],
    ['{"uptimeMs":3621}', '/uptimeMs', 'uptime-ms'],
    ['{"ts":12}', '/ts', 'age-s'],
  ])('%s', (text, pointer, likeliest) => {
    expect(leaf(text, pointer).times[0]).toBe(likeliest);
  });

  it.each([
    ['{"t1":63.5}', '/t1'],
    ['{"t":63.5}', '/t'],
    ['{"voltage":3.1}', '/voltage'],
    ['{"cup":63.5}', '/cup'],
    ['{"temp":145}', '/temp'],
    ['{"on":"19:30"}', '/on'],
    ['{"age":-4}', '/age'],
  ])('%s is none', (text, pointer) => {
    expect(leaf(text, pointer).times).toEqual([]);
  });
});
