import { describe, expect, it } from 'vitest';
import { createRng, normal, uniform } from '../../simulator/rng.ts';

function draws(seed: number, purpose: string, count: number): number[] {
  const rng = createRng(seed, purpose);
  return Array.from({ length: count }, () => uniform(rng));
}

describe('the seeded generator', () => {
  it('gives the same numbers for the same seed and purpose', () => {
    expect(draws(7, 'fire', 50)).toEqual(draws(7, 'fire', 50));
  });
  it('gives other numbers for another seed or another purpose', () => {
    expect(draws(7, 'fire', 5)).not.toEqual(draws(8, 'fire', 5));
    expect(draws(7, 'fire', 5)).not.toEqual(draws(7, 'food', 5));
  });
  it('goes on where its copied state stood', () => {
    const rng = createRng(3, 'copy');
    uniform(rng);
    const copy = structuredClone(rng);
    expect(uniform(copy)).toBe(uniform(rng));
  });
  it('stays in [0, 1) with mean 1/2 and variance 1/12', () => {
    const numbers = draws(1, 'spread', 20_000);
    expect(Math.min(...numbers)).toBeGreaterThanOrEqual(0);
    expect(Math.max(...numbers)).toBeLessThan(1);
    const mean = numbers.reduce((sum, value) => sum + value, 0) / numbers.length;
    const variance = numbers.reduce((sum, value) => sum + (value - mean) ** 2, 0) / numbers.length;
    expect(Math.abs(mean - 0.5)).toBeLessThan(0.01);
    expect(Math.abs(variance - 1 / 12)).toBeLessThan(0.003);
  });
  it('draws normals with mean 0, deviation 1 and 95 % inside 1.96', () => {
    const rng = createRng(2, 'normal');
    const numbers = Array.from({ length: 20_000 }, () => normal(rng));
    const mean = numbers.reduce((sum, value) => sum + value, 0) / numbers.length;
    const deviation = Math.sqrt(numbers.reduce((sum, value) => sum + value ** 2, 0) / numbers.length);
    const inside = numbers.filter((value) => Math.abs(value) < 1.96).length / numbers.length;
    expect(Math.abs(mean)).toBeLessThan(0.03);
    expect(Math.abs(deviation - 1)).toBeLessThan(0.03);
    expect(Math.abs(inside - 0.95)).toBeLessThan(0.01);
  });
  it('refuses a seed that is no whole number', () => {
    expect(() => createRng(1.5, 'x')).toThrow(/seed/);
  });
});
