import { describe, expect, it } from 'vitest';
import { keyPatternProblem, searchSteps } from '../../server/contract/key-pattern.ts';

describe('the expression that chooses members', () => {
  it.each([
    '^ch[0-9]+$',
    '^(food|grill)$',
    '^28-[0-9a-f]{12}$',
    '^t(?:emp)?$',
    '^\\+$',
    '[*+?{]',
    '[[(|]+\\p{L}+',
    '[\\]*+?]+x*',
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
    expect(keyPatternProblem('a*a*')).toBeNull();
    expect(keyPatternProblem('a*a*a*')).toContain('at most 2');
    expect(keyPatternProblem('a?a?a?a?a?aaaaa')).toContain('at most 2');
    expect(keyPatternProblem('a'.repeat(101))).toContain('100');
    expect(keyPatternProblem('')).toContain('empty');
  });

  it('is refused when its alternatives multiply, or when it refers back to a group', () => {
    expect(keyPatternProblem('(a|a)'.repeat(7))).toContain('at most 64 ways');
    expect(keyPatternProblem('^((a|b|c)x|(d|e)|[|]){1}$')).toContain('repeat a group');
    expect(keyPatternProblem(`^(?:${'ab|'.repeat(29)}c)$`)).toBeNull();
    expect(keyPatternProblem('^(food|grill)_(left|right)$')).toBeNull();
    expect(keyPatternProblem('(.*)\\1x')).toContain('refer back');
    expect(keyPatternProblem('(?<x>.)\\k<x>')).toContain('refer back');
    expect(keyPatternProblem('^\\d\\[1$')).toBeNull();
  });

  it.each(['a*a*b', 'a+a+$b', '(?=a*a*b)a', '(a|a)'.repeat(6) + 'b', '(a|a)(a|a)a*a*b', '.*', '^ch[0-9]+$'])(
    'is searched for in no more time than its steps say: %s',
    (pattern) => {
      const name = 'a'.repeat(64);
      expect(keyPatternProblem(pattern)).toBeNull();
      const expression = new RegExp(pattern, 'u');
      const took = Array.from({ length: 20 }, () => {
        const startMs = performance.now();
        expression.test(name);
        return performance.now() - startMs;
      });
      const stepNs = 50; // more than a step takes
      // the quickest of many: a busy machine makes some of them slow
      expect(Math.min(...took)).toBeLessThan(0.1 + (searchSteps(pattern, 64) * stepNs) / 1e6);
    },
  );
});
