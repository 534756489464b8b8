import type { ProbeStanding } from '../contract/probe.ts';
import type { Alarm, Row, RowState } from '../contract/board.ts';
import type { Forecast } from '../estimate/types.ts';
import { SHORT_NAME_MAX } from '../contract/text.ts';
import type { Displacement } from '../safety/displaced.ts';
import { gateMs, onTimeOf10 } from '../plan/timetable.ts';
import type { BatchJudgement } from './judge-batch.ts';
import { UNPLUGGED_WHY } from './quiet.ts';
import { alarmFields, alarmOfRow, discardedMs, tempFields } from './scene.ts';

/** Ready for longer than this is overdue. OURS. */
const OVERDUE_MS = 2 * 60_000;
const MS_PER_MIN = 60_000;
/** Half the chances lie further apart than the time left: told as unsure. OURS. */
const UNSURE_SPREAD = 0.8;
const CHANCES = 10;

export type BatchView = {
  judged: BatchJudgement;
  forecast: Forecast | null;
  /** The last forecast there was, for the ghost of a silent row. */
  ghost: Forecast | null;
  /** Known take-off of a dish that is cooked by the clock. */
  clockOffMs: number | null;
  plannedOnMs: number | null;
  known: Row['known'];
};
type Shown = Pick<Row, 'quantilesMs' | 'basis' | 'why' | 'learnMin' | 'state' | 'sinceMs' | 'fell'>;

const NOTHING: Omit<Shown, 'state'> = {
  quantilesMs: null,
  basis: null,
  why: null,
  learnMin: null,
  sinceMs: null,
  fell: null,
};

/** How far the probe of a row may be believed. */
export type StandingOf = (sensorId: string) => ProbeStanding;

export function batchRow(
  view: BatchView,
  alarms: readonly Alarm[],
  { nowMs, standingOf }: { nowMs: number; standingOf: StandingOf },
): Row {
  const { judged } = view;
  const { batch, dish, story, place, serveAtMs, rowId } = judged.scene;
  const alarm = alarmOfRow(alarms, rowId);
  const shown = withAlarm(shownOf(view, nowMs), alarm);
  const gate = serveAtMs === null ? null : gateMs(serveAtMs, dish.restMin);
  return {
    id: rowId,
    subject: { kind: 'batch', id: batch.id },
    kind: dish.targetC === null && story.status !== 'reheating' ? 'clock' : 'cook',
    short: shortOf(view),
    full: batch.label === '1st' ? dish.name : `${dish.name}, ${batch.label}`,
    tag: dish.reserve ? 'reserve' : null,
    placeName: place?.name ?? null,
    sensorId: batch.sensorId,
    probe: batch.sensorId === null ? null : standingOf(batch.sensorId),
    reads: readsOf(view, nowMs),
    ...tempFields(isOldNews(view) ? null : judged.newest),
    lastReadingMs: judged.newest?.atMs ?? null,
    targetC: judged.aimC,
    limit: judged.limitView,
    ...shown,
    known: view.known,
    serveAtMs,
    restMin: dish.restMin,
    gateMs: gate,
    onTimeOf10: gate !== null && shown.quantilesMs ? onTimeOf10(shown.quantilesMs, gate) : null,
    outsideMs: null,
    ...alarmFields(alarm),
    status: story.status,
    isNext: false,
  };
}

/** Off the fire nothing tells a silent probe apart, so its last number is not shown at all. */
function isOldNews({ judged }: BatchView): boolean {
  return judged.silent && judged.scene.story.status !== 'on';
}

/** The second load of a dish is told from the first on the live screen, in ten letters. */
export function shortOf({ judged }: Pick<BatchView, 'judged'>): string {
  const { dish, batch } = judged.scene;
  if (batch.order === 0) return dish.short;
  const number = ` ${batch.order + 1}`;
  return dish.short.slice(0, SHORT_NAME_MAX - number.length).trimEnd() + number;
}

/** Open as long as the probe is neither in the next batch nor out of this one. */
function readsOf({ judged }: BatchView, nowMs: number): Row['reads'] {
  const { span } = judged.scene;
  return span === null ? null : { fromMs: span.fromMs, toMs: span.toMs < nowMs ? span.toMs : null };
}

/** A broken core limit shows on top of whatever the row was doing. */
function withAlarm(shown: Shown, alarm: Alarm | null): Shown {
  if (alarm?.class !== 'unsafe') return shown;
  switch (alarm.state) {
    case 'unacknowledged':
      return { ...shown, state: 'unsafe', sinceMs: alarm.raisedMs };
    case 'acknowledged':
      return { ...shown, state: 'acknowledged', sinceMs: alarm.raisedMs };
    case 'returned':
      return { ...shown, state: 'returned' };
    case 'normal':
      return shown;
  }
}

function shownOf(view: BatchView, nowMs: number): Shown {
  const { story, dish, serveAtMs } = view.judged.scene;
  switch (story.status) {
    case 'planned':
    case 'packed':
      return { ...NOTHING, state: 'waiting', sinceMs: view.plannedOnMs };
    case 'on':
      return onFire(view, nowMs);
    case 'off':
    case 'held': {
      const restUntilMs = (story.offMs ?? nowMs) + dish.restMin * MS_PER_MIN;
      const isWaiting = nowMs < Math.max(restUntilMs, serveAtMs ?? 0);
      return { ...NOTHING, state: isWaiting ? 'resting' : 'off', sinceMs: story.offMs };
    }
    case 'served':
      return { ...NOTHING, state: 'off', sinceMs: story.servedMs };
    case 'reheating':
    case 'cooling':
    case 'chilled':
      return { ...NOTHING, state: 'learning', why: `no forecast for ${story.status} yet` };
    case 'discarded':
      return { ...NOTHING, state: 'off', sinceMs: discardedMs(view.judged.scene.steps) };
  }
}

function onFire(view: BatchView, nowMs: number): Shown {
  const { judged, forecast, clockOffMs } = view;
  const { batch, dish } = judged.scene;
  if (dish.targetC === null) return byTheClock(clockOffMs, nowMs);
  const { readySinceMs } = judged;
  if (readySinceMs !== null) return ready(readySinceMs, nowMs);
  if (batch.sensorId !== null && judged.silent && (judged.newest !== null || judged.isUnplugged)) {
    const ghost = view.ghost?.kind === 'eta' ? view.ghost : null;
    return {
      ...NOTHING,
      state: 'silent',
      why: judged.isUnplugged ? UNPLUGGED_WHY : null,
      sinceMs: judged.silentSinceMs,
      quantilesMs: ghost?.quantilesMs ?? null,
    };
  }
  if (judged.displaced !== null) return probeOut(judged.displaced);
  if (judged.holdMoreMs !== null) return allAt(nowMs + judged.holdMoreMs);
  if (!forecast) return { ...NOTHING, state: 'learning', why: 'no forecast yet' };
  // at its target by the fit, not yet by the reading itself: any moment now
  if (forecast.kind === 'none' && forecast.reason === 'reached') return allAt(nowMs);
  if (forecast.kind === 'none') return withoutForecast({ ...forecast, why: whyNone(forecast, judged) });
  const { quantilesMs, basis } = forecast;
  const state = basis === 'clock' ? 'by-clock' : isUnsure(quantilesMs, nowMs) ? 'unsure' : 'forecast';
  return { ...NOTHING, state, quantilesMs, basis };
}

function probeOut({ sinceMs, byC, inMs }: Displacement): Shown {
  const why = byC > 0 ? 'fell faster than food can' : 'rose faster than food can';
  return { ...NOTHING, state: 'probe-out', why, sinceMs, fell: { byC, inMs } };
}

function allAt(atMs: number): Shown {
  return { ...NOTHING, state: 'forecast', basis: 'curve', quantilesMs: Array<number>(CHANCES).fill(atMs) };
}

function ready(sinceMs: number, nowMs: number): Shown {
  return { ...NOTHING, state: nowMs - sinceMs > OVERDUE_MS ? 'overdue' : 'ready', sinceMs };
}

function byTheClock(offMs: number | null, nowMs: number): Shown {
  if (offMs === null) return { ...NOTHING, state: 'learning', why: 'no time set' };
  return nowMs >= offMs
    ? ready(offMs, nowMs)
    : { ...NOTHING, state: 'by-clock', basis: 'clock', sinceMs: null };
}

type NoForecast = Extract<Forecast, { kind: 'none' }>;

const STATE_WITHOUT: Record<NoForecast['reason'], RowState> = {
  'not-on': 'learning',
  'no-readings': 'learning',
  'core-not-moved': 'learning',
  stalled: 'stalled',
  'probe-out': 'probe-out',
  reached: 'learning',
  'beyond-reach': 'stalled',
};

function withoutForecast({ reason, why, learnMin, sinceMs, fell }: NoForecast): Shown {
  return { ...NOTHING, state: STATE_WITHOUT[reason], why, learnMin, sinceMs, fell };
}

/** That there is no reading is not said beside one: a forecast takes the second to believe the first. */
function whyNone({ reason, why }: NoForecast, { newest, silent }: BatchJudgement): string {
  if (reason !== 'no-readings' || newest === null || silent) return why;
  return newest.quality === 3 ? 'its readings are in doubt' : 'learning from its first readings';
}

function isUnsure(quantilesMs: readonly (number | null)[], nowMs: number): boolean {
  const [second, median, ninth] = [quantilesMs[1], quantilesMs[5], quantilesMs[8]];
  if (second == null || median == null || ninth == null) return true;
  return ninth - second > UNSURE_SPREAD * (median - nowMs);
}
