import type { Reading } from '../../server/contract/reading.ts';
import type { CookEvent } from '../../server/estimate/types.ts';
import type { Act } from '../../simulator/act.ts';
import { nominalActs } from '../../simulator/nominal-cook.ts';
import type {
  Scenario,
  ScenarioBatch,
  ScenarioDish,
  ScenarioPlace,
  ZonePlace,
} from '../../simulator/scenario.ts';
import { dishOf } from '../../simulator/scenario.ts';
import { HARVEST_SUPPER } from '../../simulator/scenarios/harvest-supper.ts';
import { createSensors, senseWorld } from '../../simulator/sensors.ts';
import type { Setting, World } from '../../simulator/world.ts';
import { createSetting, createWorld, tickWorld, tipC } from '../../simulator/world.ts';
import type { Cook } from './cooks.ts';
import { seeded } from './seeded.ts';
import type { Seeded } from './seeded.ts';

/** Minute zero of the invented evening. */
const ZERO_MS = Date.UTC(2031, 8, 20, 16, 0, 0);
const MINUTE_MS = 60_000;
const BEFORE_FIRE_MIN = 5;
const LONGEST_MIN = 6 * 60;
/** The server shows the estimator the mean of the last two minutes of the zone's sensor. */
const SENSOR_MEAN_MS = 120_000;
const EVERY_MS = 30_000;

type Core = NonNullable<ScenarioDish['core']>;

function factor(rng: Seeded, logSd: number): number {
  return Math.exp(Math.min(Math.max(rng.normal(0, logSd), -2 * logSd), 2 * logSd));
}

/** The dish's core as some other cook would buy and probe it. Spreads: assumptions. */
function otherCore(core: Core, thicknessMm: number, rng: Seeded): Core {
  const { skin, material } = core;
  return {
    ...core,
    material: { ...material, conductivityWmK: material.conductivityWmK * factor(rng, 0.05) },
    skin: {
      wetness: skin.wetness * factor(rng, 0.4),
      waterKgM2: skin.waterKgM2 * factor(rng, 0.3),
      supplyKgM2S: skin.supplyKgM2S * factor(rng, 0.3),
      supplyKgM2: skin.supplyKgM2 * factor(rng, 0.3),
    },
    tipOffCentreMm: rng.normal(0, 0.05) * thicknessMm,
  };
}

function otherFire(place: ZonePlace, rng: Seeded): ZonePlace {
  const size = factor(rng, 0.12);
  const [first, ...later] = place.fire.charges;
  const charges = later
    .filter(() => rng.chance(0.75))
    .map((charge) => ({ atMin: charge.atMin + rng.between(-8, 8), size: charge.size * factor(rng, 0.2) }));
  return {
    ...place,
    fire: {
      ...place.fire,
      charges: [...(first ? [first] : []), ...charges].map((charge) => ({
        ...charge,
        size: charge.size * size,
      })),
      sensorShare: rng.between(0.8, 1),
    },
  };
}

const BIG_JOINT_TARGETS = [70, 80, 88, 93];

/** One batch of the supper with its zone and its cooler, everything a little different by the seed. */
function otherSupper(batch: ScenarioBatch, rng: Seeded): Scenario {
  const dish = dishOf(HARVEST_SUPPER, batch);
  const thicknessMm = dish.input.thicknessMm * rng.between(0.85, 1.2);
  const targetC = dish.key === 'pork' ? rng.pick(BIG_JOINT_TARGETS) : (dish.input.targetC ?? null);
  const core = dish.core && otherCore(dish.core, thicknessMm, rng);
  const onMin = (batch.onMin ?? 0) + rng.between(-8, 12);
  const places = HARVEST_SUPPER.places.flatMap((place): ScenarioPlace[] => {
    if (place.kind === 'zone' && place.key === batch.cooksOn) return [otherFire(place, rng)];
    if (place.kind !== 'cooler' || place.key !== batch.waitsIn) return [];
    return [{ ...place, start: { ...place.start, foodC: rng.between(2, 7) } }];
  });
  const firstMin = Math.min(
    ...places.flatMap((place) => (place.kind === 'zone' ? place.fire.charges.map(({ atMin }) => atMin) : [])),
  );
  return {
    ...HARVEST_SUPPER,
    places,
    dishes: [{ ...dish, core, input: { ...dish.input, thicknessMm, targetC } }],
    batches: [
      {
        ...batch,
        onMin,
        turnAfterMin: batch.turnAfterMin === null ? null : batch.turnAfterMin * rng.between(0.7, 1.1),
        looks: batch.looks.map(({ forS }) => ({
          atMin: Math.round(onMin + rng.between(40, 150)),
          forS: Math.round(forS * rng.between(0.5, 2)),
        })),
      },
    ],
    startMin: Math.floor(Math.min(firstMin, onMin - 10)) - BEFORE_FIRE_MIN,
  };
}

type Evening = {
  acts: Act[];
  sent: Map<string, Reading[]>;
  arrivedMs: Map<string, number>;
};

/** Plays a scenario with the cook who follows the plan, until every probed batch is done or it takes too long. */
function play(setting: Setting): Evening {
  const probed = setting.scenario.batches.filter(({ sensor }) => sensor !== null);
  const world: World = createWorld(setting);
  const sensors = createSensors(setting);
  const evening: Evening = { acts: [], sent: new Map(), arrivedMs: new Map() };
  const untilMs = world.atMs + LONGEST_MIN * MINUTE_MS;
  while (world.atMs < untilMs && evening.arrivedMs.size < probed.length) {
    evening.acts.push(...nominalActs(setting, world));
    tickWorld(setting, world, evening.acts);
    for (const { sensor, atMs, tempC } of senseWorld(setting, world, sensors)) {
      const track = evening.sent.get(sensor) ?? [];
      track.push({ atMs, tempC, quality: 1 });
      evening.sent.set(sensor, track);
    }
    for (const batch of probed) {
      const { targetC } = dishOf(setting.scenario, batch).input;
      const coreC = tipC(setting, world, batch);
      if (coreC === null || typeof targetC !== 'number' || coreC < targetC) continue;
      if (!evening.arrivedMs.has(batch.key)) evening.arrivedMs.set(batch.key, world.atMs);
    }
  }
  return evening;
}

function eventsOf(acts: readonly Act[], key: string): CookEvent[] {
  return acts.flatMap((act) => {
    if (act.kind !== 'step' || act.batch !== key) return [];
    const { step, atMs, heat } = act;
    const isFelt = step === 'on' || step === 'turned' || step === 'lid-opened' || step === 'lid-closed';
    return isFelt ? [{ atMs, step, zone: step === 'on' ? heat : null }] : [];
  });
}

/** The zone's sensor as the estimator is shown it: its recent mean, from minute to minute. */
function zonesOf(place: ZonePlace, track: readonly Reading[], onMs: number, untilMs: number): Cook['zones'] {
  const zones: { fromMs: number; zone: ZonePlace['heat']; sensorC: number }[] = [];
  for (let fromMs = onMs; fromMs < untilMs; fromMs += EVERY_MS) {
    const recent = track.filter(({ atMs }) => atMs > fromMs - SENSOR_MEAN_MS && atMs <= fromMs);
    const sensorC = recent.reduce((sum, { tempC }) => sum + tempC, 0) / recent.length;
    zones.push({ fromMs, zone: place.heat, sensorC });
  }
  return zones;
}

function cookOf(name: string, setting: Setting, evening: Evening, batch: ScenarioBatch): Cook | null {
  const { scenario } = setting;
  const { input } = dishOf(scenario, batch);
  const events = eventsOf(evening.acts, batch.key);
  const onMs = events[0]?.atMs;
  const arrivalMs = evening.arrivedMs.get(batch.key);
  const place = scenario.places.find((p): p is ZonePlace => p.kind === 'zone' && p.key === batch.cooksOn);
  if (onMs === undefined || arrivalMs === undefined || !place || typeof input.targetC !== 'number')
    return null;
  return {
    name,
    food: input.food,
    shape: input.shape,
    thicknessMm: input.thicknessMm,
    targetC: input.targetC,
    turnPlan: input.turnPlan ?? { kind: 'none' },
    onMs,
    zones: zonesOf(place, evening.sent.get(place.sensor) ?? [], onMs, arrivalMs),
    events,
    readings: (evening.sent.get(batch.sensor ?? '') ?? []).filter(({ atMs }) => atMs >= onMs),
    arrivalMs,
  };
}

const PROBED = HARVEST_SUPPER.batches.filter(({ sensor }) => sensor !== null);

/**
 * `count` cooks of the supper's dishes in turn, from consecutive seeds, each on a fire, in a skin and with a probe of
 * its own: slabs with turns, cylinders that are rolled, the big joint under the lid. Those that never arrive are left out.
 */
export function supperCooks(firstSeed: number, count: number): Cook[] {
  const cooks: Cook[] = [];
  for (let seed = firstSeed; cooks.length < count; seed += 1) {
    const batch = PROBED[seed % PROBED.length]!;
    const setting = createSetting(otherSupper(batch, seeded(seed)), seed, ZERO_MS);
    const cook = cookOf(`${batch.key}-${seed}`, setting, play(setting), setting.scenario.batches[0]!);
    if (cook) cooks.push(cook);
  }
  return cooks;
}

/** The cooks of one evening exactly as the demo plays it. */
export function demoCooks(seed: number): Cook[] {
  const setting = createSetting(HARVEST_SUPPER, seed, ZERO_MS);
  const evening = play(setting);
  return PROBED.flatMap((batch) => cookOf(batch.key, setting, evening, batch) ?? []);
}
