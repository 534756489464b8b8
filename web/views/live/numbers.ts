import type { Row } from '../../../server/contract/board.ts';
import { minutesBetween } from '../../format/duration.ts';
import { HORIZON_MIN } from './axis.ts';

const OUTWARD_FROM_MIN = 30;
const STEP_MIN = 5;
const WHOLE_BELOW_MIN = 10;
const RISE_MIN = 1;
const RISE_SHARE = 0.1;
/** The second and the ninth of ten equally likely moments: nominally 70 % of the forecast lies between 15 % and 85 %. */
const LOW_INDEX = 1;
const HIGH_INDEX = 8;

export type Shown = { text: string; unit: 'min' | 'h' };

/** What the screen last showed of a row, as instants: so a number falls by itself while the clock runs. */
export type NumberMemory = {
  lowMs: number | null;
  highMs: number | null;
  /** The newest forecast, kept for the ghost of a row that fell silent. */
  quantilesMs: Row['quantilesMs'];
};

/** A number may fall at once; it rises only when the forecast moved by more than 10 % of the time left, or by 1 min. */
export function steadyMs(shownMs: number | null, forecastMs: number | null, nowMs: number): number | null {
  if (shownMs === null || forecastMs === null || forecastMs <= shownMs) return forecastMs;
  const riseMin = minutesBetween(shownMs, forecastMs);
  const leftMin = Math.max(0, minutesBetween(nowMs, shownMs));
  return riseMin > RISE_MIN || riseMin > RISE_SHARE * leftMin ? forecastMs : shownMs;
}

/** The memory of a row after a board. Holding rows count from the first moment, food from the second to the ninth. */
export function remember(memory: NumberMemory | undefined, row: Row, nowMs: number): NumberMemory {
  const quantilesMs = row.quantilesMs;
  if (quantilesMs === null) return { lowMs: null, highMs: null, quantilesMs: memory?.quantilesMs ?? null };
  const isHold = row.kind === 'cold' || row.kind === 'hot';
  const low = quantilesMs[isHold ? 0 : LOW_INDEX] ?? null;
  const high = quantilesMs[HIGH_INDEX] ?? null;
  const lowMs = steadyMs(memory?.lowMs ?? null, low, nowMs);
  const highMs = steadyMs(memory?.highMs ?? null, high, nowMs);
  return { lowMs, highMs: lowMs !== null && highMs !== null ? Math.max(lowMs, highMs) : highMs, quantilesMs };
}

/** Food: "6–9", "30–60", "20–90+", "3–5" h; null when nine chances in ten never come. `highMin` null = may never come. */
export function foodRange(lowMin: number | null, highMin: number | null): Shown | null {
  if (lowMin === null || !Number.isFinite(lowMin)) return null;
  const low = Math.max(0, lowMin);
  if (highMin === null || !Number.isFinite(highMin)) return openRange(low);
  const high = Math.max(low, highMin);
  if (low > HORIZON_MIN) return hours(low, high);
  if (high > HORIZON_MIN) return openRange(low);
  if (high < OUTWARD_FROM_MIN) return joined(Math.round(low), Math.max(1, Math.round(high)));
  return joined(downTo(low, STEP_MIN), Math.ceil(high / STEP_MIN) * STEP_MIN);
}

/** Holding: the first moment only, rounded down, with a plus: "25+", "90+". */
export function holdNumber(firstMin: number | null): Shown {
  if (firstMin === null || firstMin >= HORIZON_MIN) return { text: `${HORIZON_MIN}+`, unit: 'min' };
  const left = Math.max(0, firstMin);
  return { text: `${downTo(left, left < WHOLE_BELOW_MIN ? 1 : STEP_MIN)}+`, unit: 'min' };
}

/** One moment that is known: "8", "90+". */
export function clockNumber(leftMin: number): Shown {
  if (!(leftMin <= HORIZON_MIN)) return { text: `${HORIZON_MIN}+`, unit: 'min' };
  return { text: String(Math.max(0, Math.round(leftMin))), unit: 'min' };
}

function openRange(low: number): Shown {
  if (low > HORIZON_MIN) return { text: `${Math.floor(low / 60)}+`, unit: 'h' };
  return { text: `${downTo(low, low < WHOLE_BELOW_MIN ? 1 : STEP_MIN)}–${HORIZON_MIN}+`, unit: 'min' };
}

function hours(low: number, high: number): Shown {
  return { text: joined(Math.floor(low / 60), Math.ceil(high / 60)).text, unit: 'h' };
}

function joined(low: number, high: number): Shown {
  return { text: low === high ? String(low) : `${low}–${high}`, unit: 'min' };
}

function downTo(value: number, step: number): number {
  return Math.floor(value / step) * step;
}
