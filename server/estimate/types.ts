import type { Food, Heat, Shape, TurnPlan } from '../contract/food.ts';
import type { Reading } from '../contract/reading.ts';

export type CookEvent = {
  atMs: number;
  step: 'on' | 'turned' | 'moved' | 'lid-opened' | 'lid-closed';
  zone: Heat | null;
};

/** Everything a forecast of one batch may know. Times in epoch ms, temperatures in degrees Celsius. */
export type CookQuestion = {
  nowMs: number;
  food: Food;
  shape: Shape;
  /** Whole thickness of a slab, diameter of a cylinder or sphere. */
  thicknessMm: number;
  targetC: number;
  turnPlan: TurnPlan;
  zone: Heat | null;
  /** Recent mean of the sensor of the zone the food lies in; it may be off by tens of degrees. */
  zoneC: number | null;
  /** Ascending in time; the first one is `on`. */
  events: readonly CookEvent[];
  /** The core probe, ascending in time. Qualities 4 and 9 are ignored. */
  readings: readonly Reading[];
  startTempC: number | null;
};

export type SpotTemperature = { atMs: number; tempC: number };
export type ClockQuestion = Omit<CookQuestion, 'readings'> & { spotCheck: SpotTemperature | null };

export type DurationQuestion = Pick<
  CookQuestion,
  'food' | 'shape' | 'thicknessMm' | 'targetC' | 'zone' | 'turnPlan' | 'startTempC'
>;
/** Minutes from going on to the target; p80 means that 8 in 10 such cooks are done by then. */
export type DurationMin = { p10: number; p50: number; p80: number; p90: number };

export type NoForecastReason =
  'not-on' | 'no-readings' | 'core-not-moved' | 'stalled' | 'probe-out' | 'reached' | 'beyond-reach';
export type Fall = { byC: number; inMs: number };

export type EtaForecast = {
  kind: 'eta';
  /** `curve`: fitted to the core's readings. `clock`: from what such food usually does. */
  basis: 'curve' | 'clock';
  /** The 5 %, 15 % ... 95 % points, epoch ms, ascending; null = that share of the chances may never come. */
  quantilesMs: (number | null)[];
  rateCPerMin: number | null;
};
export type NoForecast = {
  kind: 'none';
  reason: NoForecastReason;
  why: string;
  /** About how many more minutes of readings are needed before something can be said. */
  learnMin: number | null;
  sinceMs: number | null;
  fell: Fall | null;
};
export type Forecast = EtaForecast | NoForecast;

export type HoldQuestion = {
  /** `cold`: when it rises above the limit. `hot`: when it falls below. */
  kind: 'cold' | 'hot';
  nowMs: number;
  readings: readonly Reading[];
  limitC: number;
  /** Air outside the cooler or pot, where it is measured. */
  ambientC: number | null;
};
export type HoldForecast =
  { kind: 'eta'; quantilesMs: (number | null)[] } | { kind: 'none'; why: string; learnMin: number | null };
