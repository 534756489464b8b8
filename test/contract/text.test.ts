import { describe, expect, it } from 'vitest';
import { SensorPatchSchema } from '../../server/contract/probe.ts';
import { NameSchema, NoteSchema, ShortNameSchema } from '../../server/contract/text.ts';

const UNFIT = [
  '\u0000',
  'a\u0000b',
  'a\tb',
  'a\nb',
  '\u001b[31m',
  'a\u007f',
  'a\u0085b',
  'a\u2028b',
  '\ud800',
  'a\udc00',
];

describe('a name', () => {
  it.each(UNFIT)('is refused with a character in it that no screen can show: %j', (text) => {
    expect(NameSchema.safeParse(`x${text}y`).success).toBe(false);
    expect(ShortNameSchema.safeParse(`x${text}y`).success).toBe(false);
  });

  it.each(['Ribs', 'Ćevapi, 2nd', 'ปีกไก่', '鶏もも', 'Wings 🍗', 'Family 👩‍👧', 'Crème brûlée (50 %)'])(
    'may be in any script: %s',
    (text) => {
      expect(NameSchema.parse(` ${text}\n`)).toBe(text);
    },
  );
});

it('the label of a sensor is a name', () => {
  expect(SensorPatchSchema.safeParse({ label: '\u0000\ud800' }).success).toBe(false);
  expect(SensorPatchSchema.parse({ label: 'Left bag' })).toEqual({ label: 'Left bag' });
});

describe('a note', () => {
  it('may have lines, and no control characters', () => {
    expect(NoteSchema.parse('first\r\n\tsecond')).toBe('first\r\n\tsecond');
    expect(NoteSchema.safeParse('a\u0000').success).toBe(false);
    expect(NoteSchema.safeParse('a\ud800').success).toBe(false);
  });
});
