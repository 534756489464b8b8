import type { Alarm, Row, RowState } from '../contract/board.ts';
import type { HoldForecast } from '../estimate/types.ts';
import type { PlaceJudgement } from './judge-place.ts';
import { alarmFields, alarmOfRow, placeRowId, type BatchScene, type Scene } from './scene.ts';

/** Within this time of the limit a hold is to be watched: look of the live screen, alarm classes. */
const WATCH_MS = 45 * 60_000;
const MS_PER_MIN = 60_000;

export function placeRow(
  judged: PlaceJudgement,
  forecast: HoldForecast,
  alarms: readonly Alarm[],
  scene: Scene,
): Row {
  const { place, kind, worst, isHolding } = judged;
  const { verdict } = worst;
  const id = placeRowId(place.id);
  const alarm = alarmOfRow(alarms, id);
  const reserve = scene.batches.find((b) => isReserveWaiting(b) && b.place?.id === place.id) ?? null;
  const eta = isHolding && !worst.silent && forecast.kind === 'eta' ? forecast : null;
  const newest = worst.readings.at(-1);
  const state = stateOf(judged, eta?.quantilesMs[0] ?? null, alarm, scene.nowMs);
  return {
    ...EMPTY,
    id,
    subject: { kind: 'place', id: place.id },
    kind,
    short: place.short,
    full: place.name,
    tag: reserve ? 'reserve' : null,
    sensorId: worst.sensorId,
    reads: { fromMs: seatedMs(place.id, worst.sensorId, scene), toMs: null },
    tempC: newest?.tempC ?? null,
    lastReadingMs: newest?.atMs ?? null,
    limit: judged.limitView,
    ...(eta ? { quantilesMs: eta.quantilesMs, basis: 'curve' as const } : {}),
    why: eta ? null : whyNone(judged, forecast),
    learnMin: forecast.kind === 'none' ? forecast.learnMin : null,
    known: reserve ? heatMark(reserve, scene.nowMs) : [],
    state,
    sinceMs: state === 'silent' ? worst.silentSinceMs : verdict.outsideSinceMs,
    outsideMs: verdict.outsideSinceMs === null ? null : verdict.outsideMs,
    ...alarmFields(alarm),
  };
}

/** Since when its probe sits there. */
function seatedMs(placeId: string, sensorId: string, { state }: Scene): number {
  const seat = state.seats.find((s) => s.subjectId === placeId && s.sensorId === sensorId && s.toMs === null);
  return seat?.fromMs ?? 0;
}

/** What a place never has. */
const EMPTY = {
  placeName: null,
  targetC: null,
  quantilesMs: null,
  basis: null,
  serveAtMs: null,
  restMin: 0,
  gateMs: null,
  onTimeOf10: null,
  fell: null,
  status: null,
  isNext: false,
} satisfies Partial<Row>;

function whyNone({ isHolding, limit }: PlaceJudgement, forecast: HoldForecast): string {
  if (!isHolding) return `not yet at ${limit.native.text}`;
  return forecast.kind === 'none' ? forecast.why : 'no reading';
}

function stateOf(
  { worst, isHolding }: PlaceJudgement,
  firstMs: number | null,
  alarm: Alarm | null,
  nowMs: number,
): RowState {
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
  return (
    dish.reserve && (story.status === 'planned' || story.status === 'packed' || story.status === 'chilled')
  );
}

/** A reserve carries one mark at the latest moment at which heating can begin. */
function heatMark({ dish, serveAtMs }: BatchScene, nowMs: number): Row['known'] {
  if (serveAtMs === null || dish.heatMin === null) return [];
  const atMs = serveAtMs - dish.heatMin * MS_PER_MIN;
  return atMs >= nowMs ? [{ verb: 'heat', atMs }] : [];
}
