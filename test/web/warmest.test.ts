import { describe, expect, it } from 'vitest';
import { startsWith, warmest } from '../../web/views/probes/warmest.ts';

const START = new Map([
  ['red', 21],
  ['blue', 20.5],
  ['bag', 4],
]);
const now = (red: number | null, blue: number | null, bag: number | null = 4) => [
  { sensorId: 'red', tempC: red },
  { sensorId: 'blue', tempC: blue },
  { sensorId: 'bag', tempC: bag },
];
const who = (...temps: Parameters<typeof now>) => warmest(START, now(...temps)).sensorId;

describe('the probe in the hand', () => {
  it('is the one that rose by 2 degrees and more than twice as far as any other', () => {
    expect(who(23, 21)).toBe('red');
    expect(who(26, 23)).toBe('red');
  });

  it('is not told before one has risen by 2 degrees', () => {
    expect(who(22.9, 20.5)).toBeNull();
    expect(who(21, 20.5)).toBeNull();
  });

  it('is not told while another rises more than half as far', () => {
    expect(who(25, 22.6)).toBeNull();
  });

  it('is never one that is silent, or was not live at the start', () => {
    expect(who(null, 20.5)).toBeNull();
    expect(warmest(new Map(), now(30, 20)).sensorId).toBeNull();
    expect(who(Number.NaN, 20.5)).toBeNull();
  });

  it('is never one that the fire heats above 60 degrees, and that one does not hide it', () => {
    expect(who(61, 20.5)).toBeNull();
    expect(who(24, 90)).toBe('red');
  });

  it('does not need the others to stand still: falling is no rise', () => {
    expect(who(23.1, 12)).toBe('red');
  });

  it('is told with the rise of each since the start', () => {
    const rises = warmest(START, now(23.5, null)).rises.map(({ riseC }) => riseC);
    expect(rises).toEqual([2.5, null, 0]);
  });
});

describe('the values at the start', () => {
  it('stay as they were, and a probe that is heard later starts from its first value', () => {
    const first = startsWith(new Map(), now(21, null));
    const later = startsWith(first, now(30, 19));
    expect([...later]).toEqual([
      ['red', 21],
      ['bag', 4],
      ['blue', 19],
    ]);
  });
});
