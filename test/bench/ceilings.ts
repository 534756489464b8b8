import type { Figure, Part } from './figure.ts';

/** A bound that was agreed before anything was built: every figure of that name must keep it. */
export type Ceiling = {
  part: Part;
  figure: string;
  /** How many figures of that name a whole run gives; fewer is a failure of the measurement. */
  times: number;
  source: string;
} & ({ atLeast: number } | { atMost: number });

const READINGS = 'agreed for the readings before they were built: "Readings: every door open, nothing lost"';

/** fsync of 5, 20 and 50 ms, each at 60 and at 1,000 readings a second, through both doors. */
const SLOW_DISK_CELLS = 12;

export const CEILINGS: readonly Ceiling[] = [
  { part: 'ingest', figure: 'ratio with mosquitto', times: 1, atLeast: 0.8, source: READINGS },
  { part: 'ingest', figure: 'ratio embedded', times: 1, atLeast: 0.5, source: READINGS },
  { part: 'slow-disk', figure: 'loop in fsync', times: SLOW_DISK_CELLS, atMost: 0.25, source: READINGS },
  // the share above says nothing when the rate is not kept up with; a group of up to 0.3 s at each edge of six seconds. OURS
  { part: 'slow-disk', figure: 'rate kept up', times: SLOW_DISK_CELLS, atLeast: 0.95, source: 'OURS' },
  { part: 'history', figure: 'bytes per reading', times: 1, atMost: 20, source: READINGS },
  { part: 'history', figure: 'one day raw', times: 1, atMost: 20, source: READINGS },
  { part: 'history', figure: 'one day from roll-ups', times: 1, atMost: 2, source: READINGS },
];

/** NaN keeps no bound. */
export function keeps(ceiling: Ceiling, value: number): boolean {
  return 'atLeast' in ceiling ? value >= ceiling.atLeast : value <= ceiling.atMost;
}

export function boundText(ceiling: Ceiling): string {
  return 'atLeast' in ceiling ? `>= ${ceiling.atLeast}` : `<= ${ceiling.atMost}`;
}

export function ceilingOf(figure: Figure): Ceiling | null {
  return CEILINGS.find((c) => c.part === figure.part && c.figure === figure.name) ?? null;
}

/** What is beyond its bound, and what of the parts that were run has not been measured, in words. */
export function brokenCeilings(figures: readonly Figure[], parts: readonly Part[]): string[] {
  return CEILINGS.filter((ceiling) => parts.includes(ceiling.part)).flatMap((ceiling) => {
    const mine = figures.filter((f) => f.part === ceiling.part && f.name === ceiling.figure);
    const beyond = mine
      .filter((f) => !keeps(ceiling, f.value))
      .map(
        (f) =>
          `${f.part}: ${f.name}${f.of === '' ? '' : `, ${f.of}`}: ${f.value.toPrecision(3)}, not ${boundText(ceiling)}`,
      );
    const missing = ceiling.times - mine.length;
    return missing > 0
      ? [...beyond, `${ceiling.part}: ${ceiling.figure}: not measured (${missing})`]
      : beyond;
  });
}
