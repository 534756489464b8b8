/** A small seeded generator (mulberry32, public domain), so that every run measures the same cooks. */
export type Seeded = {
  between(low: number, high: number): number;
  normal(mean: number, sd: number): number;
  chance(share: number): boolean;
  pick<T>(items: readonly T[]): T;
};

export function seeded(seed: number): Seeded {
  let state = seed >>> 0;
  const next = (): number => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296;
  };
  return {
    between: (low, high) => low + (high - low) * next(),
    normal: (mean, sd) => mean + sd * Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next()),
    chance: (share) => next() < share,
    pick: (items) => {
      const item = items[Math.floor(next() * items.length)];
      if (item === undefined) throw new RangeError('items: expected at least one');
      return item;
    },
  };
}
