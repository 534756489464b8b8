import { setTimeout as sleep } from 'node:timers/promises';
import type { Cookout } from '../server/contract/cookout.ts';
import type { SimClock } from './clock.ts';
import { createClock } from './clock.ts';
import { Host } from './host.ts';
import type { Mapping } from './mapping.ts';
import { mappingOf } from './mapping.ts';
import { Publisher } from './publisher.ts';
import { patienceMs } from './screen-cook.ts';
import { ScreenEvening, storedUntil } from './screen-evening.ts';
import type { Sample } from './sensors.ts';
import { Unanswered } from './must.ts';
import { completeCookout, findCookout, makeCookout, recordHistory, zeroOf } from './set-up.ts';
import type { Settings } from './settings.ts';
import { Timeline } from './timeline.ts';
import { createSetting } from './world.ts';

type Tell = (message: string) => void;
type Session = { settings: Settings; clock: SimClock; publisher: Publisher; stop: AbortSignal; tell: Tell };

const MINUTE_MS = 60_000;
const LOOP_MS = 200;
const DRAIN_POLL_MS = 20;
/** History is caught up with live time when it is less behind than this, real ms. */
const CAUGHT_UP_MS = 1000;
const FLUSH_MS = 5000;
/** Whoever ends the program waits no longer than this, real ms. */
const STOPPED_FLUSH_MS = 1000;
/** A server that is just starting gets so long, real ms. */
const SERVER_WITHIN_MS = 60_000;
const SERVER_RETRY_MS = 500;

/** How often the invented cook looks at the screen, real ms. */
function lookEveryMs(speed: number): number {
  return speed <= 2 ? 1000 : 400;
}

async function pause(ms: number, stop: AbortSignal): Promise<void> {
  await sleep(ms, undefined, { signal: stop }).catch(() => undefined);
}

/** Minute zero such that live time begins now, on a whole minute so that the serving times can be read. */
function newZeroMs({ settings, clock }: Session): number {
  const { scenario, start } = settings;
  const exactMs = clock.nowMs() - scenario.liveFromMin[start] * MINUTE_MS;
  return Math.round(exactMs / MINUTE_MS) * MINUTE_MS;
}

async function publishAll({ publisher, stop }: Session, samples: readonly Sample[]): Promise<void> {
  for (const sample of samples) await publisher.send(sample, stop);
}

/** Goes on with the evening until it is over or told to stop. */
async function live(
  session: Session,
  timeline: Timeline,
  zeroMs: number,
  evening: ScreenEvening | null,
): Promise<void> {
  const { settings, clock, stop, tell } = session;
  const endMs = zeroMs + settings.scenario.endMin * MINUTE_MS;
  let isLooking = false;
  let lookedAt = -Infinity;
  let told = timeline.acts.length;
  while (!stop.aborted) {
    if (evening !== null && !isLooking && performance.now() - lookedAt >= lookEveryMs(settings.speed)) {
      isLooking = true;
      lookedAt = performance.now();
      void lookOnce(evening, timeline, clock)
        .catch((error: unknown) => tell(`the cook is confused: ${String(error)}`))
        .finally(() => (isLooking = false));
    }
    const nowMs = Math.min(clock.nowMs(), endMs);
    await publishAll(session, timeline.advance(nowMs, evening === null ? 'nominal' : 'none'));
    if (evening === null) {
      for (const act of timeline.acts.slice(told)) {
        tell(act.kind === 'ice' ? `ice for ${act.place}` : `${act.step}: ${act.batch}`);
      }
      told = timeline.acts.length;
    }
    if (nowMs >= endMs) {
      tell('the supper is over');
      return;
    }
    await pause(LOOP_MS, stop);
  }
}

async function lookOnce(evening: ScreenEvening, timeline: Timeline, clock: SimClock): Promise<void> {
  await evening.look(() => clock.nowMs());
  const acts = await evening.acts();
  if (acts !== null) timeline.follow(acts);
}

async function withoutScreen(session: Session): Promise<void> {
  const { settings, tell } = session;
  const zeroMs = newZeroMs(session);
  const timeline = new Timeline(createSetting(settings.scenario, settings.seed, zeroMs));
  const history = timeline.advance(session.clock.nowMs(), 'nominal');
  tell(`${String(history.length)} readings of the hours before`);
  await publishAll(session, history);
  await live(session, timeline, zeroMs, null);
}

async function withScreen(session: Session, host: Host): Promise<void> {
  const { settings, clock, tell } = session;
  const { scenario } = settings;
  const found = await untilAnswered(session, () => findCookout(host, scenario, clock.nowMs()));
  if (found === null) return;
  const known = found.answer;
  const zeroMs = known === null ? newZeroMs(session) : zeroOf(scenario, known);
  const liveFromMs = Math.min(known?.createdMs ?? Infinity, clock.nowMs());
  const timeline = new Timeline(createSetting(scenario, settings.seed, zeroMs));
  if (known !== null) {
    for (const [sensor, atMs] of await storedUntil(host)) timeline.skipUntil(sensor, atMs);
  }
  await sendHistory(session, timeline, () => (known === null ? clock.nowMs() : liveFromMs));

  const prepared = await untilAnswered(session, () => prepare(session, host, timeline, zeroMs));
  if (prepared === null) return;
  const { cookout, mapping } = prepared.answer;
  tell(`${scenario.cookoutName}: ${known === null ? 'set up' : 'taken up again'}`);
  const { speed, patienceS } = settings;
  const patience = patienceS === null ? patienceMs(speed) : patienceS * 1000;
  const evening = new ScreenEvening({
    host,
    scenario,
    cookoutId: cookout.id,
    mapping,
    patienceMs: patience,
    tell,
  });
  if (known !== null) await evening.recall();
  const acts = await evening.acts();
  if (acts !== null) timeline.follow(acts);
  await live(session, timeline, zeroMs, evening);
  if (!session.stop.aborted) await evening.close();
}

/** Sends what was before live time. That takes its time, and what came meanwhile is sent too: no probe seems silent. */
async function sendHistory(session: Session, timeline: Timeline, untilMs: () => number): Promise<void> {
  const { settings, publisher, stop, tell } = session;
  do {
    const samples = timeline.advance(untilMs(), 'nominal');
    tell(`${String(samples.length)} readings of the time before`);
    await publishAll(session, samples);
    while (publisher.unacknowledged > 0 && !stop.aborted) await pause(DRAIN_POLL_MS, stop);
  } while (untilMs() - timeline.world.atMs > CAUGHT_UP_MS * settings.speed && !stop.aborted);
}

type Prepared = { cookout: Cookout; mapping: Mapping };

/** Sets up the cookout and its history, or what is still missing of them. */
async function prepare(session: Session, host: Host, timeline: Timeline, zeroMs: number): Promise<Prepared> {
  const { settings, clock } = session;
  const { scenario } = settings;
  const known = await findCookout(host, scenario, clock.nowMs());
  const cookout = known ?? (await makeCookout(host, scenario, zeroMs));
  const detail = await completeCookout(host, scenario, cookout.id);
  const mapping = mappingOf(scenario, detail);
  await recordHistory(host, mapping, detail, timeline.acts);
  return { cookout, mapping };
}

/** Asks again while the server is starting, or starting anew. Null when told to stop. */
async function untilAnswered<Value>(
  { settings, stop }: Session,
  ask: () => Promise<Value>,
): Promise<{ answer: Value } | null> {
  const untilMs = performance.now() + SERVER_WITHIN_MS;
  while (!stop.aborted) {
    try {
      return { answer: await ask() };
    } catch (error) {
      if (!(error instanceof Unanswered)) throw error;
      if (performance.now() > untilMs) {
        throw new Error(`no answer at ${String(settings.httpUrl)}: ${error.message}`, { cause: error });
      }
    }
    await pause(SERVER_RETRY_MS, stop);
  }
  return null;
}

/**
 * One whole run of the simulator.
 * @param stop ends it early
 * @returns false when it ended with readings that no broker had acknowledged
 */
export async function runSession(settings: Settings, stop: AbortSignal, tell: Tell): Promise<boolean> {
  const realNowMs = Date.now();
  const origin = settings.origin ?? { realMs: realNowMs, simMs: realNowMs };
  const clock = createClock(
    { originRealMs: origin.realMs, originSimMs: origin.simMs, speed: settings.speed },
    () => Date.now(),
  );
  const { brokerUrl: url, user, password } = settings;
  const publisher = new Publisher({ url, user, password }, tell);
  // One controller with its own timer: AbortSignal.any may lose a timeout that nobody else holds (Node 20).
  const ends = new AbortController();
  const end = (): void => ends.abort();
  stop.addEventListener('abort', end, { once: true });
  if (stop.aborted) end();
  const timer = settings.exitAfterS === null ? null : setTimeout(end, settings.exitAfterS * 1000);
  const session = { settings, clock, publisher, stop: ends.signal, tell };
  try {
    await (settings.httpUrl === null
      ? withoutScreen(session)
      : withScreen(session, new Host(settings.httpUrl)));
    const isDelivered = await publisher.flush(stop.aborted ? STOPPED_FLUSH_MS : FLUSH_MS);
    tell(`${String(publisher.acknowledged)} readings acknowledged, ${String(publisher.unacknowledged)} not`);
    return isDelivered;
  } finally {
    if (timer !== null) clearTimeout(timer);
    await publisher.close();
  }
}
