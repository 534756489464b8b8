import { useCallback, useEffect, useRef, useState } from 'preact/hooks';
import type { ReadingsEvent } from '../../../server/contract/live-events.ts';
import type { SensorView } from '../../../server/contract/probe.ts';
import type { ApiResult } from '../../api-client.ts';
import { newestReadings } from '../../newest-readings.ts';
import { board, nowMs } from '../../state.ts';
import { askSensors } from '../plan/plan-data.ts';

type Since = {
  pushed: ReadingsEvent[number] | undefined;
  /** Server ms since the sensor was asked about. */
  elapsedMs: number;
  /** The server's clock; 0 while it is not known. */
  nowMs: number;
};

/** By the server's clock where that is known, so that a reading from the future is seen to be one. */
function ageNow({ lastAtMs, ageMs }: SensorView, elapsedMs: number, serverMs: number): number | null {
  if (ageMs === null) return null;
  return serverMs > 0 && lastAtMs !== null ? serverMs - lastAtMs : ageMs + elapsedMs;
}

/** A sensor as it is now: its age goes on, and a reading pushed since then takes the place of the older one. Pure. */
export function sensorNow(sensor: SensorView, { pushed, elapsedMs, nowMs: serverMs }: Since): SensorView {
  const ageMs = ageNow(sensor, elapsedMs, serverMs);
  const isNewer = pushed !== undefined && serverMs > 0 && !(pushed.atMs <= (sensor.lastAtMs ?? -Infinity));
  if (!isNewer) return { ...sensor, ageMs };
  return {
    ...sensor,
    lastValueC: pushed.tempC,
    lastAtMs: pushed.atMs,
    ageMs: serverMs - pushed.atMs,
    quality: pushed.quality,
    reasons: pushed.quality === sensor.quality ? sensor.reasons : [],
    unpluggedSinceMs: null,
  };
}

type Answered = { answer: ApiResult<readonly SensorView[]>; atMonoMs: number };
export type LiveSensors = { answer: ApiResult<readonly SensorView[]> | null; reload: () => Promise<void> };

/** Every sensor, asked for again and again, with what is pushed in between. */
export function useLiveSensors(everyMs: number): LiveSensors {
  const [answered, setAnswered] = useState<Answered | null>(null);
  const isHere = useRef(true);
  const reload = useCallback(async (): Promise<void> => {
    const answer = await askSensors();
    if (isHere.current) setAnswered({ answer, atMonoMs: performance.now() });
  }, []);
  useEffect(() => {
    isHere.current = true;
    void reload();
    const timer = setInterval(() => void reload(), everyMs);
    return () => {
      isHere.current = false;
      clearInterval(timer);
    };
  }, [everyMs, reload]);
  const pushed = newestReadings.value;
  const serverMs = nowMs.value;
  if (answered?.answer.ok !== true) return { answer: answered?.answer ?? null, reload };
  const elapsedMs = (performance.now() - answered.atMonoMs) * (board.peek()?.speed ?? 1);
  const value = answered.answer.value.map((sensor) =>
    sensorNow(sensor, { pushed: pushed.get(sensor.id), elapsedMs, nowMs: serverMs }),
  );
  return { answer: { ok: true, value }, reload };
}
