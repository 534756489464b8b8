import { describe, expect, it } from 'vitest';
import { numberOfText } from '../../../server/ingest/mapping/number-text.ts';

describe('the number that a text is', () => {
  it.each([
    ['63.5', 63.5],
    [' 63.5 ', 63.5],
    ['+.5e1', 5],
    ['-4', -4],
    ['5.', 5],
    ['1E2', 100],
  ])('with a point: "%s"', (text, number) => {
    expect(numberOfText(text, '.')).toBe(number);
  });

  it.each([
    ['63,5', 63.5],
    ['-0,5', -0.5],
    ['63', 63],
  ])('with a decimal comma: "%s"', (text, number) => {
    expect(numberOfText(text, ',')).toBe(number);
  });

  it.each(['63abc', 'Infinity', 'NaN', '', ' ', '0x1F', '1_000', '63,5', '1e999', '--4', '6 3', '.', 'e5'])(
    'is none: "%s"',
    (text) => {
      expect(numberOfText(text, '.')).toBeNull();
    },
  );

  it.each(['.', ','] as const)(
    'is none in 40,000 digits and a letter, found out at once: "%s"',
    (decimal) => {
      const startMs = performance.now();
      expect(numberOfText(`${'1'.repeat(40_000)}x`, decimal)).toBeNull();
      expect(performance.now() - startMs).toBeLessThan(300);
    },
  );

  it('is none where a point might stand for thousands', () => {
    expect(numberOfText('1.234', ',')).toBeNull();
  });
});
