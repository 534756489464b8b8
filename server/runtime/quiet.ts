import { silence } from '../safety/silence.ts';
import type { Scene } from './scene.ts';

export type Quiet = {
  silent: boolean;
  /** As `silence` tells it; for a channel that was heard until then, when it said that nothing is plugged in. */
  sinceMs: number | null;
  isUnplugged: boolean;
};

/** What a row says of a channel of which the owner pulled the plug. */
export const UNPLUGGED_WHY = 'nothing plugged in';

/** Whether a probe is silent: nothing came for too long, or its channel says that nothing is plugged in. */
export function quietOf(
  sensorId: string | null,
  heard: { lastAtMs: number | null; intervalMs: number | null },
  { nowMs, unpluggedSinceMs }: Pick<Scene, 'nowMs' | 'unpluggedSinceMs'>,
): Quiet {
  const unpluggedMs = sensorId === null ? null : unpluggedSinceMs(sensorId);
  if (unpluggedMs === null) return { ...silence({ ...heard, nowMs }), isUnplugged: false };
  // one that was silent before it said so has been silent since its last reading
  const before = silence({ ...heard, nowMs: unpluggedMs });
  return { silent: true, sinceMs: before.sinceMs ?? unpluggedMs, isUnplugged: true };
}
