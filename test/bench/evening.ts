import * as z from 'zod/mini';
import type { Child } from './child.ts';
import { Published } from './messages.ts';
import { COOLERS, CORES, POTS, SEATED, sensorName, ZONES } from './readings.ts';
import type { Tongside } from './tongside.ts';

/** Readings of the past that the forecasts look back on, s. */
const PAST_S = 1_200;
const MS_PER_S = 1_000;
const WITHIN_MS = 30_000;
const HEATS = ['hot', 'medium', 'gentle'] as const;

/** An evening in full swing: six batches on the fire, two coolers, a pot, three zones, and twenty minutes of readings. */
export async function beginEvening(tongside: Tongside, publisher: Child): Promise<void> {
  const nowMs = Date.now();
  const cookout = await tongside.make('/api/cookouts', {
    name: 'Harvest supper',
    ruleSet: 'uk',
    guests: 38,
    serves: [{ atMs: nowMs + 3_600_000 }],
  });
  const sinceMs = nowMs - PAST_S * MS_PER_S;
  const names = Array.from({ length: SEATED - CORES }, (_, i) => sensorName(CORES + i));
  for (const [i, sensor] of names.entries()) {
    const kind = i < COOLERS ? 'cooler' : i < COOLERS + POTS ? 'pot' : 'zone';
    const heat = kind === 'zone' ? { heat: HEATS[(i - COOLERS - POTS) % ZONES] } : {};
    const place = { kind, name: `Place ${i + 1}`, sensorIds: [sensor], sensorsSinceMs: sinceMs, ...heat };
    await tongside.make(`/api/cookouts/${cookout}/places`, place);
  }
  const input = { name: 'Chicken thighs', food: 'chicken', shape: 'slab', thicknessMm: 30, targetC: 75 };
  const dish = await tongside.make(`/api/cookouts/${cookout}/dishes`, input);
  for (let i = 0; i < CORES; i += 1) {
    const batch = await tongside.make(`/api/dishes/${dish}/batches`, { pieces: 10, sensorId: sensorName(i) });
    await tongside.make(`/api/batches/${batch}/steps`, { step: 'on', atMs: sinceMs, zone: HEATS[i % ZONES] });
  }
  const before = (await tongside.counts()).stored;
  const past = await publisher.ask(Published, { do: 'history', seconds: PAST_S, sensors: SEATED });
  const wanted = before + PAST_S * SEATED;
  const { messages } = await tongside.reach(wanted, WITHIN_MS);
  if (past.acked !== PAST_S * SEATED || messages < wanted)
    throw new Error(`${messages} of ${wanted} readings of the past stored`);
  await checkWatched(tongside);
}

const BoardSchema = z.looseObject({ rows: z.array(z.unknown()) });

/** A board without rows would make every figure of it worthless. */
async function checkWatched(tongside: Tongside): Promise<void> {
  const board = BoardSchema.parse(await (await fetch(`${tongside.httpUrl}/api/board`)).json());
  const least = CORES + COOLERS + POTS;
  if (board.rows.length < least) throw new Error(`${board.rows.length} rows on the board, not ${least}`);
}
