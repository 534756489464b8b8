import { forecastCook } from '../../server/estimate/forecast.ts';
import type { Cook } from './cooks.ts';
import { questionAt } from './measure.ts';

/** How a whole cook looked to somebody who watched it. */
export type Watched = {
  name: string;
  /** Looks that got a forecast. */
  looks: number;
  /** Share of them whose range from 5 % to 95 % held the true moment. */
  inside: number;
  /** Largest move of the median between two looks without a step in between, as a share of the time left. */
  largestJump: number;
};

const EVERY_MS = 20_000;
/** A step is over for the forecast after this: the readings have shown it. */
const STEP_MS = 60_000;
/** With less time left than this a share of it says nothing. */
const LEFT_LEAST_MS = 120_000;

/** A moment that never comes counts as a day away. */
const NEVER_MS = 24 * 3_600_000;

type Look = { atMs: number; medianMs: number; isInside: boolean };

function lookAt(cook: Cook, nowMs: number): Look | null {
  const forecast = forecastCook({
    ...questionAt(cook, nowMs),
    readings: cook.readings.filter(({ atMs }) => atMs <= nowMs),
  });
  if (forecast.kind !== 'eta') return null;
  const at = forecast.quantilesMs.map((ms) => ms ?? nowMs + NEVER_MS);
  return {
    atMs: nowMs,
    medianMs: (at[4]! + at[5]!) / 2,
    isInside: at[0]! <= cook.arrivalMs && at[9]! >= cook.arrivalMs,
  };
}

/** Watches one cook every twenty seconds from going on to its arrival. */
export function watch(cook: Cook): Watched {
  const looks: Look[] = [];
  let largestJump = 0;
  for (let nowMs = cook.onMs + EVERY_MS; nowMs < cook.arrivalMs; nowMs += EVERY_MS) {
    const look = lookAt(cook, nowMs);
    const before = looks.at(-1);
    if (!look) continue;
    looks.push(look);
    if (before?.atMs !== nowMs - EVERY_MS) continue;
    const isAfterStep = cook.events.some(({ atMs }) => atMs <= nowMs && atMs > nowMs - STEP_MS);
    const leftMs = before.medianMs - nowMs;
    if (isAfterStep || !(leftMs >= LEFT_LEAST_MS)) continue;
    largestJump = Math.max(largestJump, Math.abs(look.medianMs - before.medianMs) / leftMs);
  }
  const inside = looks.filter(({ isInside }) => isInside).length / looks.length;
  return { name: cook.name, looks: looks.length, inside, largestJump };
}
