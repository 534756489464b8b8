import type { Condition } from '../alarms/condition.ts';
import type { LimitView } from '../contract/board.ts';
import type { Reading } from '../contract/reading.ts';
import { credibleCore } from '../safety/credible-core.ts';
import { displacedProbe, type Displacement } from '../safety/displaced.ts';
import { lethalRate } from '../safety/lethality.ts';
import type { CoreLimit } from '../safety/limit-types.ts';
import { coreLimit, limitView } from '../safety/limits.ts';
import { heardSinceMs, silentAfterMs, typicalIntervalMs } from '../safety/silence.ts';
import { watchCore, type CoreVerdict } from '../safety/watch-core.ts';
import { quietOf } from './quiet.ts';
import type { BatchScene, Scene } from './scene.ts';

/** What was measured of one batch against its critical limit and its target. */
export type BatchJudgement = {
  scene: BatchScene;
  limit: CoreLimit | null;
  limitView: LimitView | null;
  /** null where the rule set gives no number, or the batch has not begun. */
  verdict: CoreVerdict | null;
  newest: Reading | null;
  silent: boolean;
  silentSinceMs: number | null;
  silentMs: number;
  /** Its channel says that nothing is plugged in. */
  isUnplugged: boolean;
  /** The probe seems to be out of the food, or to have come from somewhere hotter; null while nothing says so. */
  displaced: Displacement | null;
  /** What the core must reach: the doneness target, never below the temperature of the critical limit as shown. */
  aimC: number | null;
  /** Since when the core has been at its aim with the limit met; null while it is not. */
  readySinceMs: number | null;
  /** At the aim, but the limit's holding time is not over: how much longer at this temperature, ms. */
  holdMoreMs: number | null;
  conditions: Condition[];
};

const MS_PER_MIN = 60_000;

export function judgeBatches(scene: Scene): BatchJudgement[] {
  return scene.batches.map((batch) => judgeBatch(batch, scene));
}

function judgeBatch(batch: BatchScene, scene: Scene): BatchJudgement {
  const { dish, story, readings, spotChecks } = batch;
  const { sensorId } = batch.batch;
  const limit = coreLimit(scene.state.cookout.ruleSet, dish.food);
  const intervalMs = typicalIntervalMs(readings);
  const silentMs = silentAfterMs(intervalMs);
  const usable = readings.filter((r) => r.quality < 4);
  const newest = usable.at(-1) ?? null;
  const quiet = quietOf(sensorId, { lastAtMs: newest?.atMs ?? null, intervalMs }, scene);
  // yesterday's cook says nothing about today's reheating
  const beginMs = story.reheatingMs ?? story.firstOnMs;
  const verdict =
    limit === null || beginMs === null
      ? null
      : watchCore({
          readings,
          spotChecks,
          fromMs: beginMs,
          limit,
          nowMs: scene.nowMs,
          silentAfterMs: silentMs,
        });
  const aimC = aimOf(dish.targetC, limit);
  const credible = credibleCore(
    readings.filter((r) => r.atMs >= (beginMs ?? Infinity)),
    silentMs,
  );
  const displaced = beginMs === null ? null : displacedProbe(readings, 'core', beginMs).now;
  const isDoubted = !(scene.nowMs - (credible.at(-1)?.atMs ?? -Infinity) <= silentMs);
  const cannotTell = quiet.silent || displaced !== null || isDoubted;
  const judged = {
    scene: batch,
    limit,
    limitView: limit === null ? null : limitView(limit),
    verdict,
    newest,
    silent: quiet.silent,
    silentSinceMs: quiet.sinceMs,
    silentMs,
    isUnplugged: quiet.isUnplugged,
    displaced,
    aimC,
    ...readiness({ aimC, limit, verdict, credible, cannotTell, spotChecks }),
  };
  return { ...judged, conditions: conditionsOf(judged, scene) };
}

function aimOf(targetC: number | null, limit: CoreLimit | null): number | null {
  if (targetC === null) return null;
  return Math.max(targetC, limit === null ? -Infinity : limit.rows[0].tempC);
}

type Readiness = Pick<BatchJudgement, 'readySinceMs' | 'holdMoreMs'>;

function readiness(q: {
  aimC: number | null;
  limit: CoreLimit | null;
  verdict: CoreVerdict | null;
  /** Readings that can be the core of food, by the same judgement as the limit's. */
  credible: readonly Reading[];
  /** The probe is silent, in doubt or out of the food. */
  cannotTell: boolean;
  spotChecks: readonly { atMs: number; tempC: number }[];
}): Readiness {
  const none: Readiness = { readySinceMs: null, holdMoreMs: null };
  const { aimC } = q;
  if (aimC === null) return none;
  const atAimSinceMs = q.cannotTell ? handAtAim(q.spotChecks, aimC) : atLeastSince(q.credible, aimC);
  if (atAimSinceMs === null) return none;
  if (q.limit === null) return { readySinceMs: atAimSinceMs, holdMoreMs: null };
  if (q.verdict?.metAtMs != null)
    return { readySinceMs: Math.max(atAimSinceMs, q.verdict.metAtMs), holdMoreMs: null };
  const tempC = q.credible.at(-1)?.tempC;
  return q.cannotTell || tempC === undefined || q.verdict === null
    ? none
    : { readySinceMs: null, holdMoreMs: holdMoreMs(q.limit, q.verdict, tempC) };
}

/** Without a live probe a check by hand is the newest that is known. */
function handAtAim(checks: readonly { atMs: number; tempC: number }[], aimC: number): number | null {
  const newest = checks.at(-1);
  return newest && newest.tempC >= aimC ? newest.atMs : null;
}

function atLeastSince(readings: readonly Reading[], aimC: number): number | null {
  let sinceMs: number | null = null;
  for (let i = readings.length - 1; i >= 0; i -= 1) {
    const reading = readings[i];
    if (!reading || !(reading.tempC >= aimC)) break;
    sinceMs = reading.atMs;
  }
  return sinceMs;
}

function holdMoreMs(limit: CoreLimit, verdict: CoreVerdict, tempC: number): number | null {
  if (limit.lethality !== null) {
    const rate = lethalRate(tempC, limit.lethality);
    return rate > 0 ? (limit.lethality.targetMin * MS_PER_MIN - verdict.heldMs) / rate : null;
  }
  return Math.max(0, verdict.row.holdS * 1000 - verdict.heldMs);
}

/** A batch is not blamed for the time before it went on, in which its channel had nothing plugged in. */
function quietSinceMs({
  scene,
  silentSinceMs,
  isUnplugged,
}: Pick<BatchJudgement, 'scene' | 'silentSinceMs' | 'isUnplugged'>): number | null {
  const { onMs, firstOnMs } = scene.story;
  if (silentSinceMs === null) return onMs;
  return isUnplugged ? Math.max(silentSinceMs, firstOnMs ?? silentSinceMs) : silentSinceMs;
}

const TAKEN_OFF = ['off', 'held', 'served'];

function conditionsOf(judged: Omit<BatchJudgement, 'conditions'>, scene: Scene): Condition[] {
  const { scene: batch, limit, verdict } = judged;
  const { story, dish } = batch;
  if (limit === null || verdict === null || story.status === 'discarded') return [];
  const about = {
    cookoutId: scene.state.cookout.id,
    rowId: batch.rowId,
    subject: { kind: 'batch', id: batch.batch.id } as const,
    subjectName: `${dish.name}, ${batch.batch.label}`,
    short: dish.short,
    limitC: limit.rows[0].tempC,
    limitText: judged.limitView?.text ?? '',
    isHeard: false,
    food: dish.food,
  };
  const takenOff = TAKEN_OFF.includes(story.status);
  const short: Condition = {
    ...about,
    key: `core-short:${batch.batch.id}`,
    kind: 'core-short',
    verdict:
      !takenOff || verdict.state === 'met' ? 'false' : verdict.state === 'not-met' ? 'true' : 'unknown',
    sinceMs: story.offMs,
    clearSinceMs: verdict.metAtMs ?? story.onMs,
    valueC: verdict.highestC,
    valueAtMs: judged.newest?.atMs ?? null,
  };
  const onFire = story.status === 'on' && batch.batch.sensorId !== null;
  const quiet: Condition = {
    ...about,
    key: `probe-silent:${batch.batch.id}`,
    kind: 'probe-silent',
    verdict: onFire && judged.silent ? 'true' : 'false',
    sinceMs: quietSinceMs(judged),
    clearSinceMs: onFire ? heardSinceMs(batch.readings, judged.silentMs) : (story.offMs ?? story.onMs),
    valueC: null,
    valueAtMs: null,
  };
  return [short, quiet];
}
