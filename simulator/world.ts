import type { BatchStatus } from '../server/contract/steps.ts';
import { statusAfter } from '../server/contract/steps.ts';
import type { Act } from './act.ts';
import type { Around, Body, BodySpec } from './physics/body.ts';
import { createBody, stepBody, temperatureAt, turnBody } from './physics/body.ts';
import type { Cooler } from './physics/cooler.ts';
import { addIce, stepCooler } from './physics/cooler.ts';
import type { Zone } from './physics/fire.ts';
import { aroundFood, createZone, sensorC, stepZone } from './physics/fire.ts';
import type { Pot } from './physics/pot.ts';
import { stepPot } from './physics/pot.ts';
import type { Rng } from './rng.ts';
import { createRng, normal } from './rng.ts';
import type { CoolerPlace, Opening, Scenario, ScenarioBatch, ZonePlace } from './scenario.ts';
import { dishOf } from './scenario.ts';

/** What does not change during a run. */
export type Setting = {
  scenario: Scenario;
  seed: number;
  /** Epoch ms of minute zero. */
  zeroMs: number;
  /** Each batch as it really is: never quite what the plan says. */
  bodies: ReadonlyMap<string, BodySpec>;
};
export type BatchNow = {
  status: BatchStatus;
  body: Body | null;
  /** The zone it lies on; null on the bench or in its cooler. */
  zone: string | null;
  onMs: number | null;
  offMs: number | null;
  lastTurnMs: number | null;
  turns: number;
  /** First reading of its probe at or above the target. */
  readyMs: number | null;
};
export type CoolerNow = Cooler & { openUntilMs: number; overSinceMs: number | null };
/** Plain data only, so that it can be copied and taken up again. */
export type World = {
  atMs: number;
  /** How many of the acts, ascending in time, it has taken in. */
  applied: number;
  zones: Record<string, Zone>;
  coolers: Record<string, CoolerNow>;
  pots: Record<string, Pot>;
  batches: Record<string, BatchNow>;
  fires: Record<string, Rng>;
};

export const TICK_MS = 1000;
const TICK_S = TICK_MS / 1000;
const MINUTE_MS = 60_000;
/** Pieces differ: one standard deviation of thickness and of conductivity; assumption. */
const THICKNESS_SPREAD = 0.02;
const CONDUCTIVITY_SPREAD = 0.03;
/** Taking a batch out holds the lid open so long; assumption. */
const TAKE_OUT_MS = 40_000;
/** A board outdoors with a loose foil tent; assumption. */
const BENCH = { convectionWm2K: 6, radiantFactor: 0.4 };

export function createSetting(scenario: Scenario, seed: number, zeroMs: number): Setting {
  const bodies = new Map<string, BodySpec>();
  for (const batch of scenario.batches) {
    const { core, input } = dishOf(scenario, batch);
    if (core === null) continue;
    const rng = createRng(seed, `pieces of ${batch.key}`);
    const spread = (sd: number): number => Math.exp(sd * Math.max(-2, Math.min(2, normal(rng))));
    bodies.set(batch.key, {
      shape: input.shape,
      thicknessM: (input.thicknessMm / 1000) * spread(THICKNESS_SPREAD),
      material: {
        ...core.material,
        conductivityWmK: core.material.conductivityWmK * spread(CONDUCTIVITY_SPREAD),
      },
      skin: core.skin,
      cells: core.cells,
    });
  }
  return { scenario, seed, zeroMs, bodies };
}

export function minuteOf(setting: Setting, atMs: number): number {
  return (atMs - setting.zeroMs) / MINUTE_MS;
}
export function msOf(setting: Setting, minute: number): number {
  return setting.zeroMs + Math.round(minute * MINUTE_MS);
}

export function createWorld(setting: Setting): World {
  const { scenario, seed } = setting;
  const world: World = {
    atMs: msOf(setting, scenario.startMin),
    applied: 0,
    zones: {},
    coolers: {},
    pots: {},
    batches: {},
    fires: {},
  };
  for (const place of scenario.places) {
    switch (place.kind) {
      case 'zone':
        world.zones[place.key] = createZone(place.fire, scenario.weather);
        world.fires[place.key] = createRng(seed, `fire of ${place.key}`);
        break;
      case 'cooler':
        world.coolers[place.key] = {
          ...place.start,
          airC: place.start.foodC,
          iceC: 0,
          openUntilMs: 0,
          overSinceMs: null,
        };
        break;
      case 'pot':
        world.pots[place.key] = { foodC: place.startC, vesselC: place.startC };
        break;
    }
  }
  for (const batch of scenario.batches) {
    world.batches[batch.key] = {
      status: 'planned',
      body: null,
      zone: null,
      onMs: null,
      offMs: null,
      lastTurnMs: null,
      turns: 0,
      readyMs: null,
    };
  }
  return world;
}

function zoneFor(scenario: Scenario, batch: ScenarioBatch, act: Act & { kind: 'step' }): string | null {
  const zones = scenario.places.filter((place): place is ZonePlace => place.kind === 'zone');
  const wanted = act.heat === 'indirect' ? 'gentle' : act.heat;
  const found =
    zones.find(({ key }) => key === act.place) ??
    zones.find(({ heat }) => heat === wanted) ??
    zones.find(({ key }) => key === batch.cooksOn);
  return found?.key ?? null;
}

/** The batch leaves its cooler, with a lid open meanwhile. */
function takeOut(setting: Setting, world: World, batch: ScenarioBatch): number {
  const cooler = world.coolers[batch.waitsIn];
  if (cooler === undefined) return setting.scenario.weather.ambientC;
  const massKg = batch.pieces * dishOf(setting.scenario, batch).pieceKg;
  cooler.foodKg = Math.max(0, cooler.foodKg - massKg);
  if (cooler.foodKg < 0.05) cooler.foodKg = 0;
  cooler.openUntilMs = world.atMs + TAKE_OUT_MS;
  return cooler.foodC;
}

function putOn(setting: Setting, world: World, batch: ScenarioBatch, now: BatchNow): void {
  now.onMs ??= world.atMs;
  if (now.body !== null) return;
  const startC = takeOut(setting, world, batch);
  const spec = setting.bodies.get(batch.key);
  if (spec !== undefined) now.body = createBody(spec, startC);
}

function setLid(world: World, now: BatchNow, lidDown: boolean): void {
  const zone = now.zone === null ? undefined : world.zones[now.zone];
  if (zone !== undefined) zone.lidDown = lidDown;
}

/** What a recorded step does to the food. A step in the wrong order changes nothing. */
function applyStep(setting: Setting, world: World, act: Act & { kind: 'step' }): void {
  const batch = setting.scenario.batches.find(({ key }) => key === act.batch);
  const now = world.batches[act.batch];
  if (batch === undefined || now === undefined) return;
  const before = now.status;
  const after = statusAfter(before, act.step);
  if (after === null) return;
  now.status = after;
  switch (act.step) {
    case 'on':
      putOn(setting, world, batch, now);
      now.zone = zoneFor(setting.scenario, batch, act);
      break;
    case 'turned':
      if (now.body !== null) turnBody(now.body);
      now.lastTurnMs = world.atMs;
      now.turns += 1;
      break;
    case 'moved':
      if (before === 'on') now.zone = zoneFor(setting.scenario, batch, act);
      break;
    case 'lid-opened':
    case 'lid-closed':
      setLid(world, now, act.step === 'lid-closed');
      break;
    case 'reheating':
      if (now.body === null) takeOut(setting, world, batch);
      break;
    case 'off':
      now.zone = null;
      now.offMs = world.atMs;
      break;
    case 'served':
    case 'discarded':
      now.zone = null;
      now.body = null;
      break;
    case 'packed':
    case 'held':
    case 'cooling':
    case 'chilled':
      break;
  }
}

function apply(setting: Setting, world: World, act: Act): void {
  if (act.kind === 'step') {
    applyStep(setting, world, act);
    return;
  }
  const cooler = world.coolers[act.place];
  if (cooler === undefined) return;
  addIce(cooler, act.iceKg);
  cooler.openUntilMs = world.atMs + TAKE_OUT_MS;
}

function isOpen(openings: readonly Opening[], minute: number): boolean {
  return openings.some(({ atMin, forS }) => minute >= atMin && minute < atMin + forS / 60);
}

function aroundBatch(setting: Setting, world: World, now: BatchNow): Around {
  const { scenario } = setting;
  const place = scenario.places.find(({ key }) => key === now.zone);
  const zone = now.zone === null ? undefined : world.zones[now.zone];
  if (place?.kind === 'zone' && zone !== undefined) {
    return aroundFood(place.fire, zone, minuteOf(setting, world.atMs), scenario.weather);
  }
  const { ambientC, vapourPa } = scenario.weather;
  const bench = {
    airC: ambientC,
    convectionWm2K: BENCH.convectionWm2K,
    radiant: [{ tempC: ambientC, factor: BENCH.radiantFactor }],
    vapourPa,
  };
  return { below: bench, above: bench };
}

function stepPlaces(setting: Setting, world: World): void {
  const { scenario } = setting;
  const minute = minuteOf(setting, world.atMs);
  for (const place of scenario.places) {
    const zone = world.zones[place.key];
    const rng = world.fires[place.key];
    const cooler = world.coolers[place.key];
    const pot = world.pots[place.key];
    if (place.kind === 'zone' && zone !== undefined && rng !== undefined) {
      stepZone(place.fire, zone, { minute, weather: scenario.weather, rng }, TICK_S);
    } else if (place.kind === 'cooler' && cooler !== undefined) {
      const open = isOpen(place.openings, minute) || world.atMs < cooler.openUntilMs;
      const outside = { ambientC: scenario.weather.ambientC + place.sunK, isOpen: open };
      stepCooler(place.cooler, cooler, outside, TICK_S);
    } else if (place.kind === 'pot' && pot !== undefined) {
      stepPot(place.pot, pot, { ...scenario.weather, isOpen: isOpen(place.openings, minute) }, TICK_S);
    }
  }
}

/** One second: what was done by now, then what it does. `acts` ascend in time. */
export function tickWorld(setting: Setting, world: World, acts: readonly Act[]): void {
  for (;;) {
    const act = acts[world.applied];
    if (act === undefined || act.atMs > world.atMs) break;
    apply(setting, world, act);
    world.applied += 1;
  }
  stepPlaces(setting, world);
  for (const [key, spec] of setting.bodies) {
    const now = world.batches[key];
    const body = now?.body ?? null;
    if (now === undefined || body === null) continue;
    stepBody(spec, body, aroundBatch(setting, world, now), TICK_S);
  }
  world.atMs += TICK_MS;
}

/** Core temperature where the probe's tip is, degC; null when the batch is not there. */
export function tipC(setting: Setting, world: World, batch: ScenarioBatch): number | null {
  const spec = setting.bodies.get(batch.key);
  const body = world.batches[batch.key]?.body ?? null;
  const core = dishOf(setting.scenario, batch).core;
  if (spec === undefined || body === null || core === null) return null;
  return temperatureAt(spec, body, core.tipOffCentreMm / 1000);
}

/** What the sensor of a place has around it, degC. */
export function placeC(setting: Setting, world: World, place: Scenario['places'][number]): number | null {
  switch (place.kind) {
    case 'zone': {
      const zone = world.zones[place.key];
      if (zone === undefined) return null;
      const minute = minuteOf(setting, world.atMs);
      const { weather } = setting.scenario;
      return sensorC(place.fire, aroundFood(place.fire, zone, minute, weather), weather.ambientC);
    }
    case 'cooler':
      return coolerTipC(place, world.coolers[place.key]);
    case 'pot':
      return world.pots[place.key]?.foodC ?? null;
  }
}

function coolerTipC(place: CoolerPlace, cooler: CoolerNow | undefined): number | null {
  if (cooler === undefined) return null;
  const share = cooler.foodKg > 0 ? place.probeInFood : 0;
  return share * cooler.foodC + (1 - share) * cooler.airC;
}
