import type { Alarm, Board, Row } from '../contract/board.ts';
import { nextActions } from '../plan/next-actions.ts';
import { batchRow, type StandingOf } from './batch-row.ts';
import { meanC, type Forecasts } from './forecasts.ts';
import type { BatchJudgement } from './judge-batch.ts';
import type { PlaceJudgement } from './judge-place.ts';
import { placeRow } from './place-row.ts';
import { plannedView, type PlannedView } from './planned-view.ts';
import { discardedMs, type Scene } from './scene.ts';

/** Everything that a board is made of, as of one moment. */
export type BoardParts = {
  scene: Scene;
  places: PlaceJudgement[];
  batches: BatchJudgement[];
  alarms: Alarm[];
  forecasts: Forecasts;
  standingOf: StandingOf;
  revision: number;
};

const MS_PER_MIN = 60_000;
/** A served or discarded batch stays on the screen this long, so that a slip can be seen. OURS. */
const DONE_SHOWN_MS = 5 * MS_PER_MIN;
/** A later load of a dish joins the screen this long before it is to go on, else when the load before is done. OURS. */
const NEXT_LOAD_MS = 15 * MS_PER_MIN;

export function emptyBoard(nowMs: number, speed: number, sensorsHeard: number): Board {
  return {
    asOfMs: nowMs,
    speed,
    cookout: null,
    next: [],
    alarms: [],
    zones: [],
    rows: [],
    watchOk: true,
    sensorsHeard,
    allServed: false,
  };
}

export function boardOf(parts: BoardParts, speed: number, sensorsHeard: number): Board {
  const { scene, places, alarms, standingOf } = parts;
  const { cookout } = scene.state;
  const views = parts.batches.map((judged) => plannedView(judged, parts));
  const next = nextActions({ batches: views.map((v) => v.plan), nowMs: scene.nowMs });
  const nextRowId = next[0]?.rowId;
  const cold = places.filter((p) => p.kind === 'cold');
  const hot = places.filter((p) => p.kind === 'hot');
  const rows = [
    ...shownBatches(views, alarms, scene).map((view) =>
      batchRow(view, alarms, { nowMs: scene.nowMs, standingOf }),
    ),
    ...[...cold, ...hot].map((p) =>
      placeRow(p, parts.forecasts.ofPlace(p, scene, parts.revision), alarms, { scene, standingOf }),
    ),
  ];
  return {
    ...emptyBoard(scene.nowMs, speed, sensorsHeard),
    cookout: {
      id: cookout.id,
      name: cookout.name,
      guests: cookout.guests,
      timeZone: cookout.timeZone,
      ruleSet: cookout.ruleSet,
      serves: cookout.serves,
      isDemo: cookout.isDemo,
    },
    next,
    alarms,
    zones: scene.state.places
      .filter((p) => p.kind === 'zone')
      .map((p) => ({ id: p.id, name: p.name, heat: p.heat, tempC: rounded(meanC(p.sensorIds, scene)) })),
    rows: rows.map((row): Row => ({ ...row, isNext: row.id === nextRowId })),
    allServed: isAllServed(parts.batches),
  };
}

/** Grill rows keep their place: by the zone they are meant for, left to right, then in the order of the plan. */
function shownBatches(views: readonly PlannedView[], alarms: readonly Alarm[], scene: Scene): PlannedView[] {
  const orderOf = new Map(scene.state.places.map((place, index) => [place.id, index]));
  const zoneOrder = (view: PlannedView): number =>
    orderOf.get(view.judged.scene.batch.placeId ?? '') ?? Infinity;
  return views
    .filter((view) => isShown(view, views, alarms, scene.nowMs))
    .map((view, index) => ({ view, index }))
    .sort((a, b) => {
      const [left, right] = [zoneOrder(a.view), zoneOrder(b.view)];
      return left === right ? a.index - b.index : left - right;
    })
    .map(({ view }) => view);
}

function isShown(
  view: PlannedView,
  all: readonly PlannedView[],
  alarms: readonly Alarm[],
  nowMs: number,
): boolean {
  const { batch, dish, story, steps, rowId } = view.judged.scene;
  if (alarms.some((alarm) => alarm.rowId === rowId)) return true;
  switch (story.status) {
    case 'planned':
    case 'packed': {
      if (dish.reserve) return false;
      const isSoon = view.plannedOnMs !== null && view.plannedOnMs - nowMs <= NEXT_LOAD_MS;
      return isSoon || !all.some((other) => isEarlierLoad(other, view));
    }
    case 'served':
    case 'discarded':
      if (all.some((other) => isLaterLoad(other, view))) return false; // the next load takes its place
      return nowMs - (story.servedMs ?? discardedMs(steps) ?? 0) <= DONE_SHOWN_MS;
    case 'chilled':
      return !dish.reserve || batch.sensorId !== null;
    case 'on':
    case 'off':
    case 'held':
    case 'cooling':
    case 'reheating':
      return true;
  }
}

function isEarlierLoad(other: PlannedView, view: PlannedView): boolean {
  return isOpenLoadOf(other, view) && other.judged.scene.batch.order < view.judged.scene.batch.order;
}
function isLaterLoad(other: PlannedView, view: PlannedView): boolean {
  return isOpenLoadOf(other, view) && other.judged.scene.batch.order > view.judged.scene.batch.order;
}
/** Another load of the same dish that is neither served nor thrown away. */
function isOpenLoadOf(other: PlannedView, view: PlannedView): boolean {
  const [a, b] = [other.judged.scene, view.judged.scene];
  const isDone = a.story.status === 'served' || a.story.status === 'discarded';
  return a.batch.dishId === b.batch.dishId && !isDone;
}

function isAllServed(batches: readonly BatchJudgement[]): boolean {
  const meant = batches.filter(({ scene }) => !scene.dish.reserve || scene.story.firstOnMs !== null);
  const done = meant.filter(
    ({ scene }) => scene.story.status === 'served' || scene.story.status === 'discarded',
  );
  return meant.length > 0 && done.length === meant.length;
}

function rounded(tempC: number | null): number | null {
  return tempC === null ? null : Math.round(tempC);
}
