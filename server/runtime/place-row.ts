import type { Alarm, Row, RowState } from '../contract/board.ts';
import type { HoldForecast } from '../estimate/types.ts';
import type { PlaceJudgement } from './judge-place.ts';
import { alarmOfRow, placeRowId, type BatchScene, type Scene } from './scene.ts';

/** Within this time of the limit a hold is to be watched: look of the live screen, alarm classes. */
const WATCH_MS = 45 * 60_000;
const MS_PER_MIN = 60_000;

export function placeRow(judged: PlaceJudgement, forecast: HoldForecast, alarms: readonly Alarm[], scene: Scene): Row {
  const { place, kind, worst, limit, isHolding } = judged;
  const id = placeRowId(place.id);
  const alarm = alarmOfRow(alarms, id);
  const reserve = scene.batches.find((b) => isReserveWaiting(b) && b.place?.id === place.id) ?? null;
  const eta = isHolding && !worst.silent && forecast.kind === 'eta' ? forecast : null;
  const newest = worst.readings.at(-1) ?? null;
  const state = stateOf(judged, eta?.quantilesMs[0] ?? null, alarm, scene.nowMs);
  const why = eta ? null : isHolding ? (forecast.kind === 'none' ? forecast.why : 'no reading') : `not yet at ${limit.native.text}`;
  return {
    id,
    subject: { kind: 'place', id: place.id },
    kind,
    short: place.short,
    full: place.name,
    tag: reserve ? 'reserve' : null,
    placeName: null,
    sensorId: worst.sensorId,
    tempC: newest?.tempC ?? null,
    lastReadingMs: newest?.atMs ?? null,
    targetC: null,
    limit: judged.limitView,
    quantilesMs: eta?.quantilesMs ?? null,
    basis: eta ? 'curve' : null,
    why,
    learnMin: forecast.kind === 'none' ? forecast.learnMin : null,
    known: reserve ? heatMark(reserve, scene.nowMs) : [],
    serveAtMs: null,
    restMin: 0,
    gateMs: null,
    onTimeOf10: null,
    state,
    sinceMs: state === 'silent' ? worst.silentSinceMs : worst.verdict.outsideSinceMs,
    outsideMs: worst.verdict.outsideSinceMs === null ? null : worst.verdict.outsideMs,
    fell: null,
    seenMs: alarm?.seenMs ?? null,
    alarmId: alarm?.id ?? null,
    status: null,
    isNext: false,
  };
}

function stateOf({ worst, isHolding }: PlaceJudgement, firstMs: number | null, alarm: Alarm | null, nowMs: number): RowState {
  if (alarm?.class === 'unsafe') {
    // a silence while the limit is broken keeps the alarm's look: the row must not calm down because nothing is heard
    switch (alarm.state) {
      case 'unacknowledged':
        return 'unsafe';
      case 'acknowledged':
        return 'acknowledged';
      case 'returned':
        return worst.silent ? 'silent' : 'returned';
      case 'normal':
        break;
    }
  }
  if (worst.silent) return 'silent';
  if (!isHolding) return 'learning';
  if (worst.verdict.state === 'outside') return 'watch';
  if (worst.verdict.state === 'unknown') return 'silent';
  return firstMs !== null && firstMs - nowMs <= WATCH_MS ? 'watch' : 'holding';
}

function isReserveWaiting({ dish, story }: BatchScene): boolean {
  return dish.reserve && (story.status === 'planned' || story.status === 'packed' || story.status === 'chilled');
}

/** A reserve carries one mark at the latest moment at which heating can begin. */
function heatMark({ dish, serveAtMs }: BatchScene, nowMs: number): Row['known'] {
  if (serveAtMs === null || dish.heatMin === null) return [];
  const atMs = serveAtMs - dish.heatMin * MS_PER_MIN;
  return atMs >= nowMs ? [{ verb: 'heat', atMs }] : [];
}
