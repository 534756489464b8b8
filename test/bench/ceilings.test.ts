import { describe, expect, it } from 'vitest';
import { brokenCeilings, CEILINGS, type Ceiling } from './ceilings.ts';
import { PARTS, type Figure } from './figure.ts';

/** Every figure that has a bound, exactly at it, moved by a factor. */
function figures(factor: (ceiling: Ceiling) => number): Figure[] {
  return CEILINGS.flatMap((ceiling) =>
    Array.from({ length: ceiling.times }, (_, i) => ({
      part: ceiling.part,
      name: ceiling.figure,
      of: `case ${i}`,
      value: ('atLeast' in ceiling ? ceiling.atLeast : ceiling.atMost) * factor(ceiling),
      unit: '',
    })),
  );
}

describe('the bounds of the bench', () => {
  it('hold for figures exactly at them', () => {
    expect(
      brokenCeilings(
        figures(() => 1),
        PARTS,
      ),
    ).toEqual([]);
  });

  it('break one by one when a figure is on the wrong side', () => {
    const all = figures((ceiling) => ('atLeast' in ceiling ? 0.99 : 1.01));
    expect(brokenCeilings(all, PARTS)).toHaveLength(all.length);
  });

  it('break when a figure is no number', () => {
    const all = figures(() => Number.NaN);
    expect(brokenCeilings(all, PARTS)).toHaveLength(all.length);
  });

  it('break when a figure of a part that was run is missing, and only then', () => {
    expect(brokenCeilings([], PARTS)).toHaveLength(CEILINGS.length);
    expect(brokenCeilings(figures(() => 1).slice(1), ['ingest'])).toEqual([
      'ingest: ratio with mosquitto: not measured (1)',
    ]);
    expect(brokenCeilings([], ['page'])).toEqual([]);
  });
});
