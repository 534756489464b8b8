import type { Quality, Reading } from '../../server/contract/reading.ts';
import { centreTheta } from '../reference/conduction/series.ts';
import type { CookQuestion } from '../../server/estimate/types.ts';

export const ON_MS = Date.UTC(2031, 8, 20, 17, 0, 0);
export const MINUTE_MS = 60_000;

/** A reading every `everyS` seconds of a temperature that is told for each second since on. */
export function readings(
  tempCAt: (atS: number) => number,
  { untilS, everyS = 5, stepC = 0.1 }: { untilS: number; everyS?: number; stepC?: number },
  quality: Quality = 1,
): Reading[] {
  return Array.from({ length: Math.floor(untilS / everyS) + 1 }, (_, i) => ({
    atMs: ON_MS + i * everyS * 1000,
    tempC: Math.round(tempCAt(i * everyS) / stepC) * stepC,
    quality,
  }));
}

/** A chicken piece of 26 mm between even fires: Bi 1.3, 140 degC felt, 5 degC at the start. */
export function evenCook(atS: number): number {
  return 140 - 135 * centreTheta('slab', 1.3, (1.4e-7 / 0.013 ** 2) * atS);
}

/** A question about that piece at `nowS` seconds after it went on. */
export function question(nowS: number, changes: Partial<CookQuestion> = {}): CookQuestion {
  return {
    nowMs: ON_MS + nowS * 1000,
    food: 'chicken',
    shape: 'slab',
    thicknessMm: 26,
    targetC: 75,
    turnPlan: { kind: 'every', seconds: 120 },
    zone: 'medium',
    zoneC: null,
    events: [{ atMs: ON_MS, step: 'on', zone: 'medium' }],
    readings: readings(evenCook, { untilS: nowS }),
    startTempC: null,
    ...changes,
  };
}
