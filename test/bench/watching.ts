import * as z from 'zod/mini';
import { Child } from './child.ts';
import { beginEvening } from './evening.ts';
import type { Figure } from './figure.ts';
import { Published } from './messages.ts';
import { cpuSecondsOf, monoMs, residentMbOf } from './mono.ts';
import { startMosquitto } from './mosquitto.ts';
import { SENSORS } from './readings.ts';
import { inScope, pause } from './scope.ts';
import { Tongside } from './tongside.ts';

const PER_S = 60;
const FOR_MS = 20_000;
const SETTLE_MS = 3_000;
const PERCENT = 100;
const MS_PER_S = 1_000;

/** Share of one core that a process uses while something goes on, %. */
async function percentOf(pid: number, work: Promise<unknown>): Promise<number> {
  const [startMs, startS] = [monoMs(), cpuSecondsOf(pid)];
  await work;
  return (PERCENT * MS_PER_S * (cpuSecondsOf(pid) - startS)) / (monoMs() - startMs);
}

/** What an evening costs a small computer: sixty readings a second while six batches, two coolers and a pot are watched. */
export async function measureWatching(): Promise<Figure[]> {
  return inScope(async (scope) => {
    const brokerPort = await startMosquitto(scope);
    const tongside = await Tongside.start(scope, brokerPort);
    const publisher = new Child(scope, new URL('./publisher.ts', import.meta.url));
    await publisher.ask(z.null(), { do: 'connect', port: brokerPort, window: 1 });
    await pause(SETTLE_MS);
    const idle = await percentOf(tongside.pid, pause(FOR_MS));
    await beginEvening(tongside, publisher);
    await pause(SETTLE_MS);
    const silent = await percentOf(tongside.pid, pause(FOR_MS / 2));
    const pace = publisher.ask(Published, {
      do: 'pace',
      perS: PER_S,
      forMs: FOR_MS,
      sensors: SENSORS,
      allTimed: true,
    });
    const busy = await percentOf(tongside.pid, pace);
    const { sent, acked } = await pace;
    if (acked !== sent) throw new Error(`${acked} of ${sent} acknowledged`);
    const base = { part: 'watching', of: '', unit: '% of a core' } as const;
    return [
      {
        ...base,
        name: 'processor at 60/s, evening watched',
        value: busy,
        beside: { what: '% idle', value: idle },
      },
      {
        ...base,
        name: 'processor without readings, evening watched',
        value: silent,
        beside: { what: '% idle', value: idle },
      },
      { ...base, name: 'memory', value: residentMbOf(tongside.pid), unit: 'MB' },
    ];
  });
}
