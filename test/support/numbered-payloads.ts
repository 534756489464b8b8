export const START_MS = Date.now() - 600_000;
export const rest = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));

/** A payload with a time of its own, a millisecond later for each number. */
export const timed = (n: number): string => `{"value":${n},"time":${START_MS + n}}`;
export const temps = (rows: { tempC: number }[]): number[] => rows.map((r) => r.tempC);
export const numbers = (from: number, to: number): number[] =>
  Array.from({ length: to - from + 1 }, (_, i) => from + i);
