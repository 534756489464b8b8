import { describe, expect, it } from 'vitest';
import { keyPatternProblem } from '../../server/contract/key-pattern.ts';

describe('the expression that chooses members', () => {
  it.each([
    '^ch[0-9]+$',
    '^(food|grill)$',
    '^28-[0-9a-f]{12}$',
    '^t(?:emp)?$',
    '^\\+$',
    '[*+?{]',
    '^(a)?b+$',
    '.*',
  ])('is taken: %s', (pattern) => {
    expect(keyPatternProblem(pattern)).toBeNull();
  });

  it.each(['[', '(', '*', 'a{2,1}', '\\'])('is refused when it is none: %s', (pattern) => {
    expect(keyPatternProblem(pattern)).toContain('regular expression');
  });

  it.each(['(a+)+$', '(a|a)*b', '(?:x{2}){3}', '((a*))+'])(
    'is refused when its search could take for ever: %s',
    (pattern) => {
      expect(keyPatternProblem(pattern)).toContain('repeat a group');
    },
  );

  it('is refused with more repeats than a quick search allows, or too long', () => {
    expect(keyPatternProblem('a*a*a*')).toBeNull();
    expect(keyPatternProblem('a*a*a*a*')).toContain('at most 3');
    expect(keyPatternProblem('a?a?a?a?a?aaaaa')).toContain('at most 3');
    expect(keyPatternProblem('a'.repeat(101))).toContain('100');
    expect(keyPatternProblem('')).toContain('empty');
  });

  it('is searched for in well under a second in the worst name, whatever is taken', () => {
    const name = 'a'.repeat(64);
    const startMs = performance.now();
    for (const pattern of ['a*a*a*b', 'a+a+a+$b', '(?=a*a*a*b)a']) {
      expect(keyPatternProblem(pattern)).toBeNull();
      expect(new RegExp(pattern, 'u').test(name)).toBe(false);
    }
    expect(performance.now() - startMs).toBeLessThan(500);
  });
});
