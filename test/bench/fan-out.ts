import * as z from 'zod/mini';
import { Child } from './child.ts';
import type { Figure } from './figure.ts';
import { Collected, Published, Started } from './messages.ts';
import { cpuSecondsOf, monoMs } from './mono.ts';
import { startMosquitto } from './mosquitto.ts';
import { SENSORS } from './readings.ts';
import { inScope, pause, type Scope } from './scope.ts';
import { quantile } from './stats.ts';
import { Tongside } from './tongside.ts';

const SCREENS = 20;
const PER_S = 60;
const FOR_MS = 10_000;
const SETTLE_MS = 2_000;
const PERCENT = 100;
const MS_PER_S = 1_000;

type Feed = { url: string; pid: number };
type Outcome = { p50Ms: number; p99Ms: number; percent: number; events: number };

async function bareFeed(scope: Scope, brokerPort: number): Promise<Feed> {
  const child = new Child(scope, new URL('./bare-feed.ts', import.meta.url));
  const { port } = await child.ask(Started, { do: 'start', brokerPort });
  return { url: `http://127.0.0.1:${port}`, pid: child.pid };
}

async function realFeed(scope: Scope, brokerPort: number): Promise<Feed> {
  const { httpUrl, pid } = await Tongside.start(scope, brokerPort);
  return { url: httpUrl, pid };
}

async function watch(openFeed: (scope: Scope, brokerPort: number) => Promise<Feed>): Promise<Outcome> {
  return inScope(async (scope) => {
    const brokerPort = await startMosquitto(scope);
    const feed = await openFeed(scope, brokerPort);
    const screens = new Child(scope, new URL('./screens.ts', import.meta.url));
    const publisher = new Child(scope, new URL('./publisher.ts', import.meta.url));
    await publisher.ask(z.null(), { do: 'connect', port: brokerPort, window: 1 });
    await screens.ask(Collected, { do: 'open', url: feed.url, screens: SCREENS });
    const forMs = SETTLE_MS + FOR_MS;
    const pace = publisher.ask(Published, {
      do: 'pace',
      perS: PER_S,
      forMs,
      sensors: SENSORS,
      allTimed: true,
    });
    await pause(SETTLE_MS);
    await screens.ask(Collected, { do: 'collect' });
    const [startMs, startS] = [monoMs(), cpuSecondsOf(feed.pid)];
    await pace;
    const percent = (PERCENT * MS_PER_S * (cpuSecondsOf(feed.pid) - startS)) / (monoMs() - startMs);
    const { delaysMs, events } = await screens.ask(Collected, { do: 'collect' });
    if (events === 0) throw new Error('nothing reached the screens');
    return {
      p50Ms: quantile(delaysMs, 0.5),
      p99Ms: quantile(delaysMs, 0.99),
      percent,
      events: events / SCREENS,
    };
  });
}

/** From the probe to twenty screens: four times a second the newest of each sensor, beside every value at once. */
export async function measureFanOut(): Promise<Figure[]> {
  const bare = await watch(bareFeed);
  const real = await watch(realFeed);
  const figure = (name: string, unit: string, of: keyof Outcome): Figure => ({
    part: 'fan-out',
    name,
    of: '20 screens, 60/s',
    value: real[of],
    unit,
    beside: { what: 'when each is sent at once', value: bare[of] },
  });
  return [
    figure('probe to screen, half of them within', 'ms', 'p50Ms'),
    figure('probe to screen, 99 % within', 'ms', 'p99Ms'),
    figure('processor of the server', '% of a core', 'percent'),
    figure('events to a screen in 10 s', '', 'events'),
  ];
}
