import type { Condition } from '../alarms/condition.ts';
import { ALARM_POLICY } from '../alarms/policy.ts';
import type { LimitView } from '../contract/board.ts';
import type { Place } from '../contract/cookout.ts';
import type { BatchStatus } from '../contract/steps.ts';
import type { Reading } from '../contract/reading.ts';
import { displacedProbe, type Displacement } from '../safety/displaced.ts';
import type { HoldLimit } from '../safety/limit-types.ts';
import { coldLimit, hotLimit, limitView } from '../safety/limits.ts';
import { heardSinceMs, silentAfterMs, typicalIntervalMs } from '../safety/silence.ts';
import { watchHold, type HoldVerdict } from '../safety/watch-hold.ts';
import { quietOf } from './quiet.ts';
import { placeRowId, type Scene } from './scene.ts';
import { readingsOf } from './tracks.ts';

/** What one probe in a cooler or pot says. */
export type HeldSensor = {
  sensorId: string;
  readings: Reading[];
  verdict: HoldVerdict;
  silent: boolean;
  silentSinceMs: number | null;
  silentMs: number;
  /** Its channel says that nothing is plugged in. */
  isUnplugged: boolean;
  /** It seems to be out of the bag or pot, or to have been moved in it; null while nothing says so. */
  displaced: Displacement | null;
};
export type PlaceJudgement = {
  place: Place;
  kind: 'cold' | 'hot';
  limit: HoldLimit;
  limitView: LimitView;
  /** The probe that tells the worst: outside before unknown before within. */
  worst: HeldSensor;
  /** A pot counts as holding from the moment it was first hot enough. */
  isHolding: boolean;
  conditions: Condition[];
};

const SEVERITY: Record<HoldVerdict['state'], number> = { outside: 2, unknown: 1, within: 0 };

export function judgePlaces(scene: Scene): PlaceJudgement[] {
  return scene.state.places.flatMap((place) => judgePlace(place, scene) ?? []);
}

function judgePlace(place: Place, scene: Scene): PlaceJudgement | null {
  if (place.kind !== 'cooler' && place.kind !== 'pot') return null;
  const { ruleSet } = scene.state.cookout;
  const kind = place.kind === 'cooler' ? 'cold' : 'hot';
  const limit = kind === 'cold' ? coldLimit(ruleSet) : hotLimit(ruleSet);
  const span = { fromMs: scene.fromMs, toMs: scene.nowMs };
  const seated = readingsOf({ kind: 'place', id: place.id }, span, scene.state.seats, scene.trackOf);
  const parts = seated.filter((p) => place.sensorIds.includes(p.sensorId));
  const sensors = parts.map(({ sensorId, readings }) => {
    const held = kind === 'hot' ? sinceFirstHot(readings, limit) : readings;
    return heldSensor(sensorId, held, { limit, scene, kind });
  });
  // a pot is judged by the probes that have been hot: one that lies beside it says nothing about the food
  const hot = sensors.filter((s) => s.readings.length > 0);
  const judgedBy = kind === 'hot' && hot.length > 0 ? hot : sensors;
  const [first, ...rest] = judgedBy;
  if (!first) return null;
  const worst = rest.reduce((a, b) => (isWorse(b, a, kind) ? b : a), first);
  const isHolding = kind === 'cold' || (hot.length > 0 && !isCoolingOnPurpose(place, scene));
  const shown = isHolding ? worst : withAllReadings(worst, parts, scene);
  const judged = { place, kind, limit, limitView: limitView(limit), worst: shown, isHolding } as const;
  return { ...judged, conditions: isHolding ? conditionsOf(judged, judgedBy, scene) : [] };
}

/** A doubted probe that reads hot for so long has begun the watch as well: it may raise an alarm, and must be able to. OURS. */
const DOUBTED_HOT_MS = 60_000;
const COOLING: readonly BatchStatus[] = ['cooling', 'chilled'];
const GONE: readonly BatchStatus[] = ['served', 'discarded'];

/** Food that was made ahead is cooled in its pot: then below the hot limit is where it is meant to be. */
function isCoolingOnPurpose(place: Place, scene: Scene): boolean {
  const here = scene.batches.filter((b) => b.place?.id === place.id && !GONE.includes(b.story.status));
  return here.length > 0 && here.every((b) => COOLING.includes(b.story.status));
}

/** Before a pot has been hot it is being heated, not held; its readings are shown but not judged. */
function sinceFirstHot(readings: Reading[], limit: HoldLimit): Reading[] {
  let hotSinceMs: number | null = null;
  let from = 0;
  for (const [index, { atMs, tempC, quality }] of readings.entries()) {
    if (quality >= 4) continue;
    if (!(tempC >= limit.valueC)) {
      hotSinceMs = null;
      continue;
    }
    if (hotSinceMs === null) from = index;
    hotSinceMs ??= atMs;
    if (quality < 3 || atMs - hotSinceMs >= DOUBTED_HOT_MS) return readings.slice(quality < 3 ? index : from);
  }
  return [];
}

function withAllReadings(
  sensor: HeldSensor,
  parts: readonly { sensorId: string; readings: Reading[] }[],
  scene: Scene,
): HeldSensor {
  const readings = parts.find((p) => p.sensorId === sensor.sensorId)?.readings ?? [];
  const heard = { lastAtMs: readings.at(-1)?.atMs ?? null, intervalMs: typicalIntervalMs(readings) };
  const quiet = quietOf(sensor.sensorId, heard, scene);
  return { ...sensor, readings, silent: quiet.silent, silentSinceMs: quiet.sinceMs };
}

function heldSensor(
  sensorId: string,
  raw: Reading[],
  { limit, scene, kind }: { limit: HoldLimit; scene: Scene; kind: 'cold' | 'hot' },
): HeldSensor {
  // what a moved probe reads may raise an alarm and never clear one
  const { marked: readings, now: displaced } = displacedProbe(raw, kind === 'cold' ? 'cooler' : 'pot');
  const intervalMs = typicalIntervalMs(readings);
  const silentMs = silentAfterMs(intervalMs);
  const { deadbandC } = ALARM_POLICY[kind === 'cold' ? 'cold-over' : 'hot-under'];
  const { nowMs } = scene;
  const verdict = watchHold({ readings, spotChecks: [], limit, nowMs, silentAfterMs: silentMs, deadbandC });
  const quiet = quietOf(sensorId, { lastAtMs: readings.at(-1)?.atMs ?? null, intervalMs }, scene);
  return {
    sensorId,
    readings,
    verdict: quiet.isUnplugged ? unknownSince(verdict, quiet.sinceMs) : verdict,
    silent: quiet.silent,
    silentSinceMs: quiet.sinceMs,
    silentMs,
    isUnplugged: quiet.isUnplugged,
    displaced,
  };
}

/** The verdict of a silent probe: nothing is known, and an excursion that has begun does not end. */
function unknownSince(verdict: HoldVerdict, sinceMs: number | null): HoldVerdict {
  const unknownSinceMs = verdict.unknownSinceMs ?? sinceMs;
  return { ...verdict, state: 'unknown', unknownSinceMs, clearSinceMs: null };
}

function isWorse(a: HeldSensor, b: HeldSensor, kind: 'cold' | 'hot'): boolean {
  const bySeverity = SEVERITY[a.verdict.state] - SEVERITY[b.verdict.state];
  if (bySeverity !== 0) return bySeverity > 0;
  const further = kind === 'cold' ? 1 : -1;
  return further * ((a.verdict.valueC ?? 0) - (b.verdict.valueC ?? 0)) > 0;
}

function conditionsOf(
  judged: Omit<PlaceJudgement, 'conditions'>,
  sensors: readonly HeldSensor[],
  scene: Scene,
): Condition[] {
  const { place, limit, worst } = judged;
  const kind = judged.kind === 'cold' ? 'cold-over' : 'hot-under';
  const about = {
    cookoutId: scene.state.cookout.id,
    rowId: placeRowId(place.id),
    subject: { kind: 'place', id: place.id } as const,
    subjectName: place.name,
    short: place.short,
    limitC: limit.valueC,
    limitText: judged.limitView.text,
    isHeard: false,
    food: null,
  };
  const { verdict } = worst;
  const quiet = sensors.find((s) => s.silent || s.verdict.state === 'unknown');
  const heard = quiet ? null : heardSinceMs(worst.readings, worst.silentMs);
  return [
    {
      ...about,
      key: `${kind}:${place.id}`,
      kind,
      verdict: verdict.state === 'unknown' ? 'unknown' : verdict.state === 'outside' ? 'true' : 'false',
      sinceMs: verdict.outsideSinceMs,
      clearSinceMs: verdict.clearSinceMs,
      valueC: verdict.valueC,
      valueAtMs: verdict.atMs,
    },
    {
      ...about,
      key: `probe-silent:${place.id}`,
      kind: 'probe-silent',
      isHeard: quiet !== undefined && !quiet.silent,
      ...silentVerdict(quiet, scene),
      clearSinceMs: heard,
      valueC: null,
      valueAtMs: null,
    },
  ];
}

/**
 * A probe that was never heard is no news while things are still being set up; from the first step of the evening on
 * it is as silent as any other. So is one that is heard but never believed.
 */
function silentVerdict(quiet: HeldSensor | undefined, scene: Scene): Pick<Condition, 'verdict' | 'sinceMs'> {
  if (!quiet) return { verdict: 'false', sinceMs: null };
  const neverBelievedMs = quiet.readings[0]?.atMs ?? scene.state.steps[0]?.atMs ?? null;
  if (neverBelievedMs === null) return { verdict: 'unknown', sinceMs: null };
  return { verdict: 'true', sinceMs: quiet.silentSinceMs ?? quiet.verdict.unknownSinceMs ?? neverBelievedMs };
}
