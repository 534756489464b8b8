import type { Alarm, Row, RowState } from '../contract/board.ts';
import type { HoldForecast } from '../estimate/types.ts';
import type { Displacement } from '../safety/displaced.ts';
import type { StandingOf } from './batch-row.ts';
import type { PlaceJudgement } from './judge-place.ts';
import { UNPLUGGED_WHY } from './quiet.ts';
import { alarmFields, alarmOfRow, placeRowId, tempFields, type BatchScene, type Scene } from './scene.ts';

/** Within this time of the limit a hold is to be watched: look of the live screen, alarm classes. */
const WATCH_MS = 45 * 60_000;
const MS_PER_MIN = 60_000;

export function placeRow(
  judged: PlaceJudgement,
  forecast: HoldForecast,
  alarms: readonly Alarm[],
  { scene, standingOf }: { scene: Scene; standingOf: StandingOf },
): Row {
  const { place, kind, worst, isHolding } = judged;
  const { verdict } = worst;
  const id = placeRowId(place.id);
  const alarm = alarmOfRow(alarms, id);
  const reserve = scene.batches.find((b) => isReserveWaiting(b) && b.place?.id === place.id) ?? null;
  const eta =
    isHolding && !worst.silent && worst.displaced === null && forecast.kind === 'eta' ? forecast : null;
  const newest = worst.readings.findLast((r) => r.quality < 4);
  const out = isHolding ? liftedOut(judged) : null;
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
    probe: standingOf(worst.sensorId),
    reads: { fromMs: seatedMs(place.id, worst.sensorId, scene), toMs: null },
    ...tempFields(newest ?? null),
    lastReadingMs: newest?.atMs ?? null,
    limit: judged.limitView,
    ...(eta ? { quantilesMs: eta.quantilesMs, basis: 'curve' as const } : {}),
    why: eta ? null : whyNone(judged, forecast),
    fell: out === null ? null : { byC: out.byC, inMs: out.inMs },
    learnMin: forecast.kind === 'none' ? forecast.learnMin : null,
    known: reserve ? heatMark(reserve, scene.nowMs) : [],
    state,
    sinceMs: sinceOf(judged, state),
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
  status: null,
  isNext: false,
} satisfies Partial<Row>;

function whyNone({ isHolding, limit, worst }: PlaceJudgement, forecast: HoldForecast): string {
  if (worst.isUnplugged) return UNPLUGGED_WHY;
  if (!isHolding) return `not yet at ${limit.native.text}`;
  if (worst.displaced !== null) return 'the probe was moved';
  return forecast.kind === 'none' ? forecast.why : 'no reading';
}

/** A probe in the air goes the way the food would spoil; one that goes the other way was put in, or on ice. */
function liftedOut({ worst, kind }: PlaceJudgement): Displacement | null {
  const { displaced } = worst;
  if (displaced === null) return null;
  return (kind === 'cold') === displaced.byC < 0 ? displaced : null;
}

function sinceOf(judged: PlaceJudgement, state: RowState): number | null {
  const { worst } = judged;
  if (state === 'silent') return worst.silentSinceMs;
  return state === 'probe-out' ? (worst.displaced?.sinceMs ?? null) : worst.verdict.outsideSinceMs;
}

function stateOf(
  judged: PlaceJudgement,
  firstMs: number | null,
  alarm: Alarm | null,
  nowMs: number,
): RowState {
  const { worst, isHolding } = judged;
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
  if (worst.displaced !== null) return liftedOut(judged) === null ? 'learning' : 'probe-out';
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
