/** The value below which the given share of the values lies; NaN when there is none. */
export function quantile(values: readonly number[], share: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  if (sorted.length === 0) return Number.NaN;
  const place = share * (sorted.length - 1);
  const low = sorted[Math.floor(place)] ?? Number.NaN;
  const high = sorted[Math.ceil(place)] ?? Number.NaN;
  return low + (high - low) * (place - Math.floor(place));
}

export function median(values: readonly number[]): number {
  return quantile(values, 0.5);
}

export type Spread = { lowest: number; highest: number };

export function spreadOf(values: readonly number[]): Spread {
  return { lowest: Math.min(...values), highest: Math.max(...values) };
}
