import type { Dish } from '../contract/cookout.ts';
import type { Heat } from '../contract/food.ts';
import { cookDurationMin, forecastByClock, forecastCook } from '../estimate/forecast.ts';
import { despiked } from '../estimate/hampel.ts';
import { forecastHold } from '../estimate/hold.ts';
import type { CookEvent, CookQuestion, DurationMin, Forecast, HoldForecast } from '../estimate/types.ts';
import type { BatchJudgement } from './judge-batch.ts';
import type { PlaceJudgement } from './judge-place.ts';
import type { Scene } from './scene.ts';
import { typicalIntervalMs } from '../safety/silence.ts';
import { quietOf } from './quiet.ts';
import { firstAtOrAfter } from './tracks.ts';

/** A forecast older than this is worked out anew, ms of server time. */
const FRESH_MS = 10_000;
const ZONE_MEAN_MS = 2 * 60_000;

/** `newestMs`: of the newest reading that it was made from; `isLacking`: for want of readings it says nothing. */
type Kept<T> = { atMs: number; revision: number; newestMs: number | null; isLacking: boolean; value: T };
type Made<T> = { value: T; isLacking: boolean };
type Moment = { nowMs: number; revision: number; newestMs: number | null };

/** Forecasts by batch and place, renewed every ten seconds, whenever something was done, and with the reading that was lacking. */
export class Forecasts {
  private readonly cooks = new Map<string, Kept<Forecast>>();
  private readonly holds = new Map<string, Kept<HoldForecast>>();
  private readonly durations = new Map<string, DurationMin>();

  ofBatch(judged: BatchJudgement, scene: Scene, revision: number): Forecast | null {
    const { batch, story, dish } = judged.scene;
    if (story.status !== 'on' || judged.aimC === null || dish.targetC === null) return null;
    const moment = { nowMs: scene.nowMs, revision, newestMs: judged.newest?.atMs ?? null };
    return this.renewed(this.cooks, batch.id, moment, () => {
      const value = cookForecast(judged, scene, judged.aimC ?? 0);
      return { value, isLacking: value.kind === 'none' && value.reason === 'no-readings' };
    });
  }

  /** The last forecast that was made, however old: the ghost of a silent row. */
  lastOf(batchId: string): Forecast | null {
    return this.cooks.get(batchId)?.value ?? null;
  }

  ofPlace(judged: PlaceJudgement, scene: Scene, revision: number): HoldForecast {
    const { worst } = judged;
    const moment = { nowMs: scene.nowMs, revision, newestMs: worst.readings.at(-1)?.atMs ?? null };
    return this.renewed(this.holds, judged.place.id, moment, () => {
      const value = forecastHold({
        kind: judged.kind,
        nowMs: scene.nowMs,
        readings: despiked(worst.readings),
        limitC: judged.limit.valueC,
        ambientC: benchAirC(scene),
      });
      return { value, isLacking: worst.silent };
    });
  }

  /** How long such a dish usually takes from going on, min; null where it usually does not get there. */
  durationOf(dish: Dish, zone: Heat | null): DurationMin | null {
    const usual = this.usualOf(dish, zone);
    return usual && Number.isFinite(usual.p80) && Number.isFinite(usual.p50) ? usual : null;
  }

  private usualOf(dish: Dish, zone: Heat | null): DurationMin | null {
    const { targetC, food, shape, thicknessMm, turnPlan } = dish;
    if (targetC === null) return null;
    const key = JSON.stringify([targetC, food, shape, thicknessMm, turnPlan, zone]);
    const known = this.durations.get(key);
    if (known) return known;
    const value = cookDurationMin({ food, shape, thicknessMm, targetC, zone, turnPlan, startTempC: null });
    this.durations.set(key, value);
    return value;
  }

  private renewed<T>(
    kept: Map<string, Kept<T>>,
    id: string,
    { nowMs, revision, newestMs }: Moment,
    make: () => Made<T>,
  ): T {
    const before = kept.get(id);
    const ageMs = nowMs - (before?.atMs ?? -Infinity);
    const isOver = before?.isLacking === true && before.newestMs !== newestMs;
    if (before?.revision === revision && ageMs >= 0 && ageMs < FRESH_MS && !isOver) return before.value;
    const made = make();
    kept.set(id, { atMs: nowMs, revision, newestMs, ...made });
    return made.value;
  }
}

function cookForecast(judged: BatchJudgement, scene: Scene, targetC: number): Forecast {
  const { batch, dish, story, steps, readings, spotChecks } = judged.scene;
  const question: Omit<CookQuestion, 'readings'> = {
    nowMs: scene.nowMs,
    food: dish.food,
    shape: dish.shape,
    thicknessMm: dish.thicknessMm,
    targetC,
    turnPlan: dish.turnPlan,
    zone: story.zone,
    zoneC: zoneMeanC(judged, scene),
    events: steps.flatMap((step) => cookEvent(step) ?? []),
    startTempC: null,
  };
  if (batch.sensorId !== null) return forecastCook({ ...question, readings: despiked(readings) });
  const newest = spotChecks.at(-1);
  return forecastByClock({
    ...question,
    spotCheck: newest ? { atMs: newest.atMs, tempC: newest.tempC } : null,
  });
}

function cookEvent({
  step,
  atMs,
  zone,
}: {
  step: string;
  atMs: number;
  zone: Heat | null;
}): CookEvent | null {
  const known = (['on', 'turned', 'moved', 'lid-opened', 'lid-closed'] as const).find((s) => s === step);
  return known ? { step: known, atMs, zone } : null;
}

/** Recent mean of the sensors of the zone it lies in; null when there is none or it is silent. */
function zoneMeanC({ scene: batch }: BatchJudgement, scene: Scene): number | null {
  const zone = batch.story.zone;
  const place =
    batch.place?.kind === 'zone'
      ? batch.place
      : scene.state.places.find((p) => p.kind === 'zone' && p.heat === zone);
  return place ? meanC(place.sensorIds, scene) : null;
}

function benchAirC(scene: Scene): number | null {
  const bench = scene.state.places.find((p) => p.kind === 'bench');
  return bench ? meanC(bench.sensorIds, scene) : null;
}

export function meanC(sensorIds: readonly string[], scene: Scene): number | null {
  const { nowMs, trackOf } = scene;
  const values: number[] = [];
  for (const sensorId of sensorIds) {
    const track = trackOf(sensorId);
    const recent = track
      .slice(firstAtOrAfter(track, nowMs - ZONE_MEAN_MS))
      .filter((r) => r.quality < 4 && r.atMs <= nowMs);
    const heard = { lastAtMs: recent.at(-1)?.atMs ?? null, intervalMs: typicalIntervalMs(recent) };
    if (!quietOf(sensorId, heard, scene).silent) values.push(...recent.map((r) => r.tempC));
  }
  return values.length === 0 ? null : values.reduce((a, b) => a + b, 0) / values.length;
}
