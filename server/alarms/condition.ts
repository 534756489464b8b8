import type { Alarm } from '../contract/board.ts';
import type { Food } from '../contract/food.ts';

export type AlarmKind = Alarm['kind'];

type Watched = {
  /** The same condition has the same key on every tick and after a restart. */
  key: string;
  cookoutId: string | null;
  /** Whether the limit is broken, as measured. `unknown` leaves everything as it is: it neither raises nor clears. */
  verdict: 'true' | 'false' | 'unknown';
  /** Since when it is broken, or when the newest reading came of a probe that is silent; epoch ms of the reading. */
  sinceMs: number | null;
  /** Since when it has been inside by the kind's deadband (or the probe heard) without a break; epoch ms of the reading. */
  clearSinceMs: number | null;
};

export type LimitCondition = Watched & {
  kind: Exclude<AlarmKind, 'system'>;
  rowId: string;
  subject: NonNullable<Alarm['subject']>;
  subjectName: string;
  short: string;
  /** The measured temperature, degC, and its time; for `core-short` the highest core temperature reached. */
  valueC: number | null;
  valueAtMs: number | null;
  limitC: number | null;
  /** In the words of the source, e.g. "70 °C for 2 min". */
  limitText: string;
  /** For `probe-silent`: it is heard, and what it reads cannot be believed. */
  isHeard: boolean;
  food: Food | null;
};

export type SystemCondition = Watched & { kind: 'system'; fault: 'watch' | 'store' };

export type Condition = LimitCondition | SystemCondition;
