import type { TurnPlan } from '../contract/food.ts';

type Turning = {
  turnPlan: TurnPlan;
  onMs: number | null;
  lastTurnMs: number | null;
  /** How long the whole cook is expected to take, ms. */
  expectedCookMs: number | null;
};

/** Within this share of a turn's interval before take-off a turn is not worth a prompt. Common practice, no source. */
const NOT_WITHIN_LAST = 1 / 4;

/**
 * When the next turn is due, epoch ms; null when there is none: no turn planned, turned already, nothing known to place it by,
 * or take-off too near.
 *
 * @param takeOffMs - earliest take-off, epoch ms; null = not known
 */
export function nextTurnMs(batch: Turning, takeOffMs: number | null): number | null {
  const due = dueTurn(batch);
  if (due === null) return null;
  const tooLate = takeOffMs !== null && due.atMs > takeOffMs - due.intervalMs * NOT_WITHIN_LAST;
  return tooLate ? null : due.atMs;
}

function dueTurn({
  turnPlan,
  onMs,
  lastTurnMs,
  expectedCookMs,
}: Turning): { atMs: number; intervalMs: number } | null {
  if (onMs === null) return null;
  switch (turnPlan.kind) {
    case 'none':
      return null;
    case 'once': {
      if (lastTurnMs !== null || expectedCookMs === null) return null;
      const halfMs = expectedCookMs / 2;
      return { atMs: onMs + halfMs, intervalMs: halfMs };
    }
    case 'every': {
      const intervalMs = turnPlan.seconds * 1000;
      return { atMs: (lastTurnMs ?? onMs) + intervalMs, intervalMs };
    }
  }
}
