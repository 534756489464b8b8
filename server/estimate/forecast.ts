import { courseOf } from './course.ts';
import type { Course } from './course.ts';
import { isSettledAfter, newestDisturbance, samplesAfter } from './disturbance.ts';
import { gridOf } from './profile.ts';
import { drawnWaitsS, observationsOf } from './posterior.ts';
import type { Problem } from './posterior.ts';
import { priorOf } from './prior.ts';
import { kappaPerS, startPrior } from './properties.ts';
import { sampleQuantile, tenQuantilesMs } from './quantiles.ts';
import { binned, lineThroughNewest, median, noiseC, usableSamples, withoutSpikes } from './samples.ts';
import type { Line, Sample } from './samples.ts';
import { stalledSinceS } from './stall.ts';
import type {
  ClockQuestion,
  CookQuestion,
  DurationMin,
  DurationQuestion,
  Forecast,
  NoForecast,
  NoForecastReason,
} from './types.ts';

const BINS = 32;
/** Readings from before the food went on tell its start. */
const BEFORE_ON_MS = 10 * 60_000;
/** A centre has moved by less than 0.1 % of the way before this Fourier number (series, computed). */
const STILL_FOURIER = 0.05;
/** By this one a core has usually risen clearly: 5 % of the way at 0.175 (series, Bi 1.5, computed). */
const MOVED_FOURIER = 0.15;
const MOVED_C = 2;
/** A rise as large as this is clear however early it comes: the piece is thinner than it was said to be. Assumption. */
const PLAIN_RISE_C = 8;
const PLAIN_RISE_MIN_S = 60;
/** A probe takes on the food's temperature within this. Assumption. */
const SETTLING_MAX_S = 180;
/** An older last reading says nothing about the food as it is now. Assumption. */
const TOO_OLD_S = 30 * 60;
/** A reading by hand: the tip is not exactly in the centre. Assumption. */
const SPOT_SD_C = 2.5;
const LATEST_SHARE = 0.06;
const LATEST_MIN_S = 30;
type Start = { tempC: number; sdC: number };

function none(reason: NoForecastReason, why: string, more: Partial<NoForecast> = {}): NoForecast {
  return { kind: 'none', reason, why, learnMin: null, sinceMs: null, fell: null, ...more };
}

function requireFinite(name: string, value: number, isValid: boolean): void {
  if (!isValid || !Number.isFinite(value))
    throw new RangeError(`${name}: expected a sensible number, got ${value}`);
}

function checkQuestion(q: Omit<ClockQuestion, 'spotCheck'>): void {
  requireFinite('nowMs', q.nowMs, true);
  requireFinite('targetC', q.targetC, q.targetC > -60 && q.targetC < 400);
  requireFinite('thicknessMm', q.thicknessMm, q.thicknessMm > 0 && q.thicknessMm <= 1000);
}

function givenStart(q: Pick<CookQuestion, 'food' | 'startTempC'>): Start {
  const usual = startPrior(q.food);
  if (q.startTempC === null || !Number.isFinite(q.startTempC)) return usual;
  return { tempC: q.startTempC, sdC: 1.5 };
}

/**
 * The core before it moved. What the probe showed then is its own settling into the food, so the end of that time
 * counts, and the more it changed the less sure the start is.
 */
function measuredStart(samples: readonly Sample[], settlingS: number, noise: number): Start | null {
  const still = samples.filter(({ atS }) => atS <= settlingS).map(({ tempC }) => tempC);
  if (still.length < 2) return null;
  const end = median(still.slice(Math.floor((2 * still.length) / 3)));
  const begin = median(still.slice(0, Math.ceil(still.length / 3)));
  return { tempC: end, sdC: 1 + noise + Math.abs(end - begin) };
}

function problemOf(
  q: Omit<ClockQuestion, 'spotCheck'>,
  course: Course,
  { start, untilS }: { start: Start; untilS: number },
): Pick<Problem, 'course' | 'grid' | 'prior' | 'targetC'> {
  const prior = priorOf({
    body: q,
    course,
    zone: q.zone ?? course.stays.at(-1)?.zone ?? null,
    isZoneMeasured: q.zoneC !== null,
    start,
    untilS,
  });
  return { course, grid: gridOf(q.shape), prior, targetC: q.targetC };
}

function etaOf(waitsS: readonly number[], fromMs: number, nowMs: number): (number | null)[] | null {
  const quantilesMs = tenQuantilesMs(waitsS, fromMs, nowMs);
  return quantilesMs.every((ms) => ms === null) ? null : quantilesMs;
}

const BEYOND_REACH = 'on this fire it will probably not get there';

type Trace = { samples: Sample[]; noise: number; line: Line; start: Start; settlingS: number };

/** The readings that may be fitted, or why there are none. */
function traceOf(q: CookQuestion, course: Course): Trace | NoForecast {
  const raw = usableSamples(q.readings, course.onMs, q.nowMs).filter(
    ({ atS }) => atS >= -BEFORE_ON_MS / 1000,
  );
  const last = raw.at(-1);
  const nowS = (q.nowMs - course.onMs) / 1000;
  if (!last || last.atS < 0) return none('no-readings', 'no reading of the core since it went on');
  if (nowS - last.atS > TOO_OLD_S) {
    return none('no-readings', 'the last reading is too old', { sinceMs: course.onMs + last.atS * 1000 });
  }
  const noise = noiseC(raw);
  const kappa = kappaPerS(q.food, q.thicknessMm);
  let samples = withoutSpikes(raw);
  const spanS = Math.max(LATEST_MIN_S, LATEST_SHARE * last.atS);
  const settlingS = Math.min(STILL_FOURIER / kappa, SETTLING_MAX_S);
  const start = measuredStart(samples, settlingS, noise) ?? givenStart(q);
  const disturbance = newestDisturbance(samples, noise, kappa);
  if (disturbance) {
    const after = samples.filter(({ atS }) => atS > disturbance.toS);
    const latest = lineThroughNewest(after, spanS);
    if (!latest || !isSettledAfter(disturbance, latest, latest.slopeCPerS)) {
      const why = disturbance.fall
        ? 'fell faster than food can: is the probe out?'
        : 'rose faster than food can';
      const sinceMs = course.onMs + disturbance.fromS * 1000;
      return none('probe-out', why, { sinceMs, fell: disturbance.fall });
    }
    samples = samplesAfter(samples, disturbance, latest.tempC);
  }
  const line = lineThroughNewest(samples, spanS);
  return line
    ? { samples, noise, line, start, settlingS }
    : none('no-readings', 'no reading of the core that can be used');
}

function reachedSinceMs(trace: Trace, targetC: number, onMs: number): number {
  const below = trace.samples.findLastIndex(({ tempC }) => tempC < targetC - 2 * trace.noise);
  const first = trace.samples[below + 1] ?? trace.line;
  return onMs + first.atS * 1000;
}

function notMoved(q: CookQuestion, trace: Trace): NoForecast | null {
  const kappa = kappaPerS(q.food, q.thicknessMm);
  const { line, noise, start } = trace;
  const lowestC = trace.samples.reduce(
    (low, { atS, tempC }) => (atS >= 0 ? Math.min(low, tempC) : low),
    start.tempC,
  );
  const riseC = line.tempC - lowestC;
  const isClear = riseC >= Math.max(MOVED_C, 4 * noise) && line.atS >= STILL_FOURIER / kappa;
  const isPlain =
    riseC >= Math.max(PLAIN_RISE_C, 8 * noise) && line.atS >= PLAIN_RISE_MIN_S + trace.settlingS;
  if ((isClear || isPlain) && line.n >= 2) return null;
  const leftS = MOVED_FOURIER / kappa - line.atS;
  // Late already: a fifth of the time so far is as good a guess as any.
  const learnMin = Math.max(leftS > 0 ? leftS : 0.2 * line.atS, 30) / 60;
  return none('core-not-moved', 'the core has not moved clearly yet', { learnMin });
}

/**
 * When the core will reach the target: conduction curve fitted to the readings, with what is known of food, shape,
 * thickness and zone as prior. Ten quantiles, or a reason why nothing can be said.
 *
 * Method: heat balances of a row of parts between two unlike faces that steam, on a fire that wanders; most likely
 * parameters by Levenberg-Marquardt on binned readings, Laplace posterior, even draws from it, each started from the
 * newest readings and run ahead on a fire that goes on wandering. Valid for 3 to 400 mm and targets that a fire can
 * reach.
 * Sources: see README.md beside this file.
 * @throws RangeError when nowMs, targetC or thicknessMm is not a sensible number
 */
export function forecastCook(q: CookQuestion): Forecast {
  checkQuestion(q);
  const given = givenStart(q);
  const course = courseOf({ ...q, startC: given.tempC });
  if (!course) return none('not-on', 'it has not gone on yet');
  const trace = traceOf(q, course);
  if ('kind' in trace) return trace;
  const { samples, noise, line } = trace;
  if (line.tempC >= q.targetC) {
    return none('reached', 'the target is reached', {
      sinceMs: reachedSinceMs(trace, q.targetC, course.onMs),
    });
  }
  const still = notMoved(q, trace);
  if (still) return still;
  const bins = binned(
    samples.filter(({ atS }) => atS >= trace.settlingS),
    BINS,
  );
  const stallS = stalledSinceS(binned(samples, 10 * BINS), course, q.targetC);
  if (stallS !== null) {
    return none('stalled', 'evaporation holds the core: no telling for how long', {
      sinceMs: course.onMs + stallS * 1000,
    });
  }
  const waitsS = drawnWaitsS({
    ...problemOf(q, course, { start: trace.start, untilS: line.atS }),
    observations: observationsOf(bins, noise),
    endS: line.atS,
    anchor: { tempC: line.tempC, sdC: (2 * noise) / Math.sqrt(line.n) },
  });
  const quantilesMs = etaOf(waitsS, course.onMs + line.atS * 1000, q.nowMs);
  if (!quantilesMs) return none('beyond-reach', BEYOND_REACH);
  return { kind: 'eta', basis: 'curve', quantilesMs, rateCPerMin: line.slopeCPerS * 60 };
}

/**
 * When the core should reach the target by what such food usually takes, with at most one reading by hand. Wide.
 * @throws RangeError when nowMs, targetC or thicknessMm is not a sensible number
 */
export function forecastByClock(q: ClockQuestion): Forecast {
  checkQuestion(q);
  const start = givenStart(q);
  const course = courseOf({ ...q, startC: start.tempC });
  if (!course) return none('not-on', 'it has not gone on yet');
  const nowS = (q.nowMs - course.onMs) / 1000;
  const spotS =
    q.spotCheck && Number.isFinite(q.spotCheck.tempC) ? (q.spotCheck.atMs - course.onMs) / 1000 : null;
  const spot =
    q.spotCheck && spotS !== null && spotS >= 0 && spotS <= nowS ? { ...q.spotCheck, atS: spotS } : null;
  if (spot && spot.tempC >= q.targetC)
    return none('reached', 'the spot check met the target', { sinceMs: spot.atMs });
  const waitsS = drawnWaitsS({
    ...problemOf(q, course, { start, untilS: spot?.atS ?? 0 }),
    observations: spot ? [{ atS: spot.atS, tempC: spot.tempC, sdC: SPOT_SD_C }] : [],
    endS: spot?.atS ?? nowS,
    anchor: spot ? { tempC: spot.tempC, sdC: SPOT_SD_C } : null,
  });
  const quantilesMs = etaOf(waitsS, course.onMs + (spot?.atS ?? nowS) * 1000, q.nowMs);
  if (!quantilesMs) return none('beyond-reach', BEYOND_REACH);
  return { kind: 'eta', basis: 'clock', quantilesMs, rateCPerMin: null };
}

/**
 * How long such a piece takes from going on to its target: for the timetable, before anything is measured.
 * @returns minutes, of those cooks that get there at all; Infinity when none does
 * @throws RangeError when targetC or thicknessMm is not a sensible number
 */
export function cookDurationMin(q: DurationQuestion): DurationMin {
  const question = { ...q, nowMs: 0, zoneC: null, events: [{ atMs: 0, step: 'on' as const, zone: q.zone }] };
  checkQuestion(question);
  const start = givenStart(q);
  const course = courseOf({ ...question, startC: start.tempC });
  if (!course) throw new TypeError('events: expected one that is on');
  const waitsS = drawnWaitsS({
    ...problemOf(question, course, { start, untilS: 0 }),
    observations: [],
    endS: 0,
    anchor: null,
  });
  const sorted = waitsS.filter(Number.isFinite).sort((a, b) => a - b);
  const at = (share: number): number => sampleQuantile(sorted, share) / 60;
  return { p10: at(0.1), p50: at(0.5), p80: at(0.8), p90: at(0.9) };
}
