import type { Heat, TurnPlan } from '../contract/food.ts';
import type { LidOpening } from './lid.ts';
import { zoneHeat } from './properties.ts';
import type { CookEvent } from './types.ts';

/** A stay in one zone. `excessC`: its nominal ambient, degrees above the food's start. */
export type Stay = { fromS: number; zone: Heat | null; excessC: number };

/** What has been done to a batch, in seconds since it went on. */
export type Course = {
  onMs: number;
  stays: readonly Stay[];
  turnsS: readonly number[];
  openings: readonly LidOpening[];
  turnPlan: TurnPlan;
};

/** Readings of a zone sensor outside this are not the heat that the food feels. Assumption. */
const ZONE_SENSOR_MIN_C = 60;
const ZONE_SENSOR_MAX_C = 450;
/** How far a zone sensor is believed against the table of zones, as a share of the logarithm. Assumption. */
const SENSOR_TRUST = 0.55;
/** A lid that is open for longer than this is a way of cooking, not a look inside. Assumption. */
const PEEK_MAX_S = 300;
/**
 * Under a lid that is open for a look, and so long after it, the sensor's recent mean shows the evening's air more than
 * the fire: air is back in 1 to 2 min (lid.ts), the sensor and its mean lag behind. Assumption.
 */
const AIRED_S = 300;
/** A lid that is open now is taken to close after this. Assumption. */
const PEEK_LEFT_S = 60;

function excessOf(zone: Heat | null, sensorC: number | null, startC: number): number {
  const tableC = zoneHeat(zone).ambientC - startC;
  if (sensorC === null || !(sensorC >= ZONE_SENSOR_MIN_C && sensorC <= ZONE_SENSOR_MAX_C)) return tableC;
  const seenC = Math.max(sensorC - startC, 20);
  return Math.exp(SENSOR_TRUST * Math.log(seenC) + (1 - SENSOR_TRUST) * Math.log(tableC));
}

function openingsOf(events: readonly CookEvent[], onMs: number, nowMs: number): LidOpening[] {
  const openings: LidOpening[] = [];
  let fromS: number | null = null;
  for (const { atMs, step } of events) {
    const atS = (atMs - onMs) / 1000;
    if (step === 'lid-opened') fromS ??= atS;
    if (step === 'lid-closed' && fromS !== null) {
      openings.push({ fromS, toS: Math.max(atS, fromS + 1) });
      fromS = null;
    }
  }
  const nowS = (nowMs - onMs) / 1000;
  if (fromS !== null) {
    openings.push({ fromS, toS: nowS - fromS > PEEK_MAX_S ? Number.POSITIVE_INFINITY : nowS + PEEK_LEFT_S });
  }
  return openings;
}

function staysOf(events: readonly CookEvent[], onMs: number, q: CourseQuestion): Stay[] {
  const stays: Stay[] = [];
  for (const { atMs, step, zone } of events) {
    if (step !== 'on' && step !== 'moved') continue;
    const fromS = Math.max((atMs - onMs) / 1000, 0);
    stays.push({ fromS, zone, excessC: excessOf(zone, null, q.startC) });
  }
  const last = stays.at(-1);
  if (last) {
    last.zone = last.zone ?? q.zone;
    last.excessC = excessOf(last.zone, q.zoneC, q.startC);
  }
  // The sensor's word on this zone holds for earlier stays in it too.
  return stays.map((stay) => (last && stay.zone === last.zone ? { ...stay, excessC: last.excessC } : stay));
}

export type CourseQuestion = {
  nowMs: number;
  events: readonly CookEvent[];
  zone: Heat | null;
  zoneC: number | null;
  turnPlan: TurnPlan;
  startC: number;
};

/** The course up to now, or null when the batch has not gone on. Events after now are not looked at. */
export function courseOf(q: CourseQuestion): Course | null {
  const events = q.events.filter(({ atMs }) => atMs <= q.nowMs).sort((a, b) => a.atMs - b.atMs);
  const onMs = events.find(({ step }) => step === 'on')?.atMs;
  if (onMs === undefined) return null;
  const openings = openingsOf(events, onMs, q.nowMs);
  const nowS = (q.nowMs - onMs) / 1000;
  const isAired = openings.some(({ toS }) => Number.isFinite(toS) && nowS < toS + AIRED_S);
  return {
    onMs,
    stays: staysOf(events, onMs, isAired ? { ...q, zoneC: null } : q),
    turnsS: events
      .filter(({ step, atMs }) => step === 'turned' && atMs >= onMs)
      .map(({ atMs }) => (atMs - onMs) / 1000),
    openings,
    turnPlan: q.turnPlan,
  };
}
