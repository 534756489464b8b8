import type { Spread } from './stats.ts';

/** Parts that can be run by themselves. */
export const PARTS = ['ingest', 'slow-disk', 'history', 'watching', 'fan-out', 'forecast', 'page'] as const;
export type Part = (typeof PARTS)[number];

export type Figure = {
  part: Part;
  name: string;
  /** Of which case; empty when there is only one. */
  of: string;
  value: number;
  unit: string;
  /** Over the rounds of this run. */
  spread?: Spread;
  /** The same taken another way in the same run, or what the figure is measured against. */
  beside?: { what: string; value: number };
};
