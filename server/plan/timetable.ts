const MS_PER_MIN = 60_000;

/**
 * When a batch is to go on so that it is served in time, worked back from the serving: serving, less rest, less a cook that
 * four of five chances keep within. Rounded down to the minute: early can be held, late cannot.
 *
 * @param serveAtMs - epoch ms
 * @param restMin - min
 * @param p80CookMin - the 80 % point of the time on the fire, min
 * @returns epoch ms
 * @throws RangeError when a duration is negative or no number
 */
export function plannedOn(q: { serveAtMs: number; restMin: number; p80CookMin: number }): number {
  assertMinutes('p80CookMin', q.p80CookMin);
  const exactMs = gateMs(q.serveAtMs, q.restMin) - q.p80CookMin * MS_PER_MIN;
  return Math.floor(exactMs / MS_PER_MIN) * MS_PER_MIN;
}

/**
 * The latest take-off for a serving, epoch ms: a rest before it still fits. With the time to heat in place of the rest it is
 * the latest start of a reserve dish.
 */
export function gateMs(serveAtMs: number, restMin: number): number {
  assertMinutes('restMin', restMin);
  return serveAtMs - restMin * MS_PER_MIN;
}

/**
 * How many of ten equally likely moments are on time. A moment that may never come is late.
 *
 * @param quantilesMs - ten points, 5 % to 95 %, epoch ms or null
 * @throws RangeError when there are not ten
 */
export function onTimeOf10(quantilesMs: readonly (number | null)[], gate: number): number {
  if (quantilesMs.length !== 10) {
    throw new RangeError(`quantilesMs: expected 10 points, got ${String(quantilesMs.length)}`);
  }
  return quantilesMs.filter((atMs) => atMs !== null && atMs <= gate).length;
}

function assertMinutes(name: string, min: number): void {
  if (!(min >= 0 && Number.isFinite(min)))
    throw new RangeError(`${name}: expected 0 min or more, got ${String(min)}`);
}
