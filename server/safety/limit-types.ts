import type { LimitView } from '../contract/board.ts';
import type { Food } from '../contract/food.ts';
import type { LethalityRule } from './lethality.ts';

/** Where a number comes from and how it was obtained. */
export type Source = {
  document: string;
  clause: string;
  /** Edition or year of the text that was read. */
  edition: string;
  status: LimitView['status'];
};

/** The number as its source prints it; it is compared in this form or in Celsius worked out from it, never the other way round. */
export type Native = { value: number; unit: 'degC' | 'degF'; text: string };

export type HoldLimit = {
  id: string;
  kind: 'max' | 'min';
  /** Readings that pass. The breach is the strict opposite: a reading at the limit passes in all three rule sets. */
  comparator: '<=' | '>=';
  valueC: number;
  native: Native;
  source: Source;
};

/** A core temperature and how long it must be held; holdS 0 = reaching it is enough. */
export type CoreRow = {
  id: string;
  kind: 'core';
  comparator: '>=';
  tempC: number;
  holdS: number;
  native: Native;
  source: Source;
};

/** Any one row suffices. The first row is the one that is shown. */
export type CoreLimit = {
  rows: readonly [CoreRow, ...CoreRow[]];
  /** Where the rule set's rows are points of one lethality rule, that rule decides in place of the rows. */
  lethality: LethalityRule | null;
};
export type NoCoreLimit = { reason: string };

export type RuleSetLimits = {
  cold: HoldLimit;
  hot: HoldLimit;
  core: Record<Food, CoreLimit | NoCoreLimit>;
};
